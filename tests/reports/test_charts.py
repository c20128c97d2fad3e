"""The curves that explain a finding show the fault that it speaks of."""

import shutil

import pytest

from pincheck import api
from pincheck.reports.charts import of_finding


@pytest.mark.parametrize(
    ("old", "new", "title", "said", "end"),
    [
        # a sensor in the air is flat at 25 C while the block passes the liner's 260 C
        ("WATCH_TEMP_PERIOD 40", "WATCH_TEMP_PERIOD 300",
         "hot-end heater: warming up with the sensor beside it",
         "cut after 300 s, the block at 342 C then", (300.0, 341.7, 25.0)),
        # 358.33 - 148.33 exp(-0.6022) = 277.1 C; 25 + 185 exp(-6.022) = 25.4 C
        ("THERMAL_PROTECTION_PERIOD 20", "THERMAL_PROTECTION_PERIOD 60",
         "hot-end heater: the sensor falls out at 210 C",
         "cut after 60 s, the block at 277 C then", (60.2, 277.1, 25.4)),
    ],
)  # fmt: skip
def test_a_finding_is_drawn_as_the_fault_it_names(tmp_path, old, new, title, said, end):
    """300 s: 358.33 - 333.33 exp(-3) = 341.7 C."""
    folder = tmp_path / "configs"
    shutil.copytree(api.demo("."), folder)
    header = folder / "clean" / "define" / "machine_adv.h"
    header.write_text(header.read_text().replace(old, new))
    machine = api.load_configuration(folder / "clean" / "define")
    result = api.check(machine, api.load_wiring(folder / "marsh-230-c.toml"))
    (finding,) = result.findings
    (chart,) = of_finding(result, finding)
    assert (chart.title, chart.said) == (title, (said,))
    block, read = chart.series
    assert (*block.points[-1], read.points[-1][1]) == pytest.approx(end, abs=0.05)
    assert chart.levels == ((260.0, "liner"),)
