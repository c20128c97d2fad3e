"""The catalogue's own promises: every entry is usable, sourced, and honest about itself."""

import pytest
from attrs import evolve
from attrs.exceptions import FrozenInstanceError

from pincheck.model.wiring import Part
from pincheck.physics.believed import believed_c
from pincheck.physics.ntc import TableCurve
from pincheck.physics.platinum import PlatinumCurve
from pincheck.sensors import UnknownSensorError, catalogue, fitted, same_part, sensor, spelled

ENTRIES = list(catalogue().values())


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_every_entry_has_numbers_or_the_reason_why_not(entry):
    """A curve or a thermocouple to compute with, else words for "not checked"."""
    computable = entry.curve or entry.thermocouple or entry.amplifier
    assert bool(computable) != bool(entry.reason)
    assert entry.source
    assert entry.name


@pytest.mark.parametrize("entry", [row for row in ENTRIES if row.curve], ids=lambda row: row.id)
def test_every_curve_states_its_uncertainty(entry):
    """In +-K, more than nothing everywhere; a modelled one says so, a published one is small."""
    at_c = [temp_c for temp_c in (25.0, 100.0, 200.0, 300.0) if temp_c <= (entry.max_c or 300)]
    assert all(entry.uncertainty_k(temp_c) > 0 for temp_c in at_c)
    if isinstance(entry.curve, TableCurve) and not entry.modelled:
        assert max(map(entry.uncertainty_k, at_c)) <= 0.2
    elif not isinstance(entry.curve, PlatinumCurve):
        assert entry.modelled


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.id)
def test_every_reference_inside_the_catalogue_exists(entry):
    """Elements and interchangeable parts; the latter hold both ways."""
    assert all(key in catalogue() for key in entry.elements)
    assert all(entry.id in sensor(key).interchangeable for key in entry.interchangeable)


def test_a_catalogue_part_is_frozen_and_the_catalogue_read_only():
    """Nobody changes a sensor for everybody else."""
    with pytest.raises(FrozenInstanceError):
        sensor("pt100").max_c = 10
    with pytest.raises(TypeError):
        catalogue()["pt100"] = None


@pytest.mark.parametrize(
    ("wrong", "near"),
    [
        ("ntc-100k-b395", "ntc-100k-b3950"),
        ("104gt-2", "ntc-100k-b4267-glass"),
        ("generic-3950", "ntc-100k-b3950"),
        ("PT1000", "pt1000"),
        ("\x1b[31m", ""),
    ],
)
def test_an_unknown_id_names_the_nearest(wrong, near):
    """A slip of the pen, or the name that a user knows the part by."""
    with pytest.raises(UnknownSensorError) as caught:
        sensor(wrong)
    assert caught.value.nearest == near
    assert "\x1b" not in str(caught.value)


def test_uncertainty_between_its_anchors_and_past_them():
    """3.0 K at 100 C and 4.0 K at 150 C make 3.5 K at 125 C; held at the ends; none is 0."""
    bead = evolve(sensor("ntc-100k-b3950"), uncertainty=[(100, 3), (150, 4)])
    assert bead.uncertainty_k(125) == pytest.approx(3.5)
    assert (bead.uncertainty_k(0), bead.uncertainty_k(400)) == (3, 4)
    assert evolve(bead, uncertainty=()).uncertainty_k(125) == 0


def test_divider_of_the_standard_use():
    """4.7 k where the style's firmware takes it, the user's own where given, none is an error."""
    assert sensor("ntc-100k-b3950").divider().pullup_ohm == 4700
    assert sensor("ntc-100k-b3950").divider(2200, bits=10).fraction(2200) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="pull-up of thermocouple-k: allowed is"):
        sensor("thermocouple-k").divider()


def test_band_of_a_part():
    """Pt1000 at 200 C: class B 1.3 K and the pull-up's 4.782 K; nothing known, no band."""
    assert sensor("pt1000").band(200).worst_k == pytest.approx(6.082, abs=0.001)
    glass = sensor("ntc-100k-b4267-glass").band(25)
    assert glass.beta_k == 0
    assert glass.r25_k == pytest.approx(3 * glass.pullup_k)
    assert sensor("ntc-100k-measured").band(200) is None


def test_same_part():
    """The id, a part that the same table serves, or the element behind an amplifier."""
    assert same_part("ntc-100k-b3950", "ntc-100k-b3950")
    assert same_part("ntc-100k-b4267-glass", "ntc-100k-b4300-glass")
    assert same_part("converter-rtd", "pt1000")
    assert same_part("amplifier-k-5mv", "thermocouple-k")
    assert not same_part("amplifier-k-5mv", "thermocouple-j")
    assert not same_part("ntc-100k-b4092", "ntc-100k-b3950")
    assert not same_part("ntc-77k-b1", "ntc-100k-b3950")


def test_the_glass_part_through_number_11():
    """49.8 K too high at 250 C (published comparison)."""
    claimed, glass = spelled("define", "11"), sensor("ntc-100k-b4267-glass")
    seen = believed_c(250, glass.curve, glass.divider(), claimed.curve, claimed.divider())
    assert seen == pytest.approx(299.8, abs=0.05)


def test_a_curve_of_the_parts_own_counts_before_its_class():
    """Three points of a data sheet: exact there, known, and no more by letters of the class."""
    points = ((25.0, 100000.0), (150.0, 1700.0), (250.0, 215.0))
    part = Part("bead", "sensor", sensor="ntc-100k-b3950", curve=points, source="sheet 7")
    own = fitted(part)
    assert [own.curve.ohm(at) for at, _ in points] == pytest.approx([ohm for _, ohm in points])
    assert (own.uncertainty_k(250), own.modelled, own.letters) == (0, False, None)
    assert own.source == "curve of part bead, sheet 7"
    assert own.curve.high_c == 300
    assert fitted(evolve(part, curve=())) is sensor("ntc-100k-b3950")
    assert fitted(evolve(part, sensor="bed of nails")) is None
