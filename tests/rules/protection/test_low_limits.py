"""A limit that is set low leaves ordinary targets below it: no fault of a warm-up or of a fan."""

import re
import shutil

import pytest

from pincheck import api

LIMITS = {
    "define": ((r"HEATER_0_MAXTEMP 270", r"BED_MAXTEMP      125"), "machine.h", "machine.h"),
    "section": ((r"max_temp: 255", r"max_temp: 115"), "toolhead.cfg", "machine.cfg"),
    "gcode": ((r"M143 H1 S255", r"M143 H0 S115"), "toolhead.g", "config.g"),
}


@pytest.mark.parametrize(("hot", "bed"), [(210, 60), (180, 55)])
@pytest.mark.parametrize("style", LIMITS)
def test_a_low_limit_is_no_fault(tmp_path, style, hot, bed):
    folder = shutil.copytree(api.demo(f"clean/{style}"), tmp_path / style)
    patterns, *files = LIMITS[style]
    for pattern, file, limit in zip(patterns, files, (hot, bed), strict=True):
        text = re.sub(r"\d+$", str(limit), pattern)
        path = folder / file
        said, count = re.subn(pattern, text, path.read_text(encoding="utf-8"))
        assert count == 1
        path.write_text(said, encoding="utf-8")
    machine = api.load_configuration(folder)
    result = api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))
    assert [finding.message for finding in result.findings] == []
    for role in ("hotend.heater", "bed.heater"):
        states = {v.attribute: v.state for v in result.verdicts if v.role == role}
        assert states.get("watch_period_s", states.get("model_rate_k_s")) == "agrees"
