"""Make exports/ anew: everything README shows, by the commands README gives.

Run it from the repository after a change of what is drawn or said, and look at the pictures:

    python examples/make_exports.py
"""

from __future__ import annotations

import runpy
import shutil
import sys
import tempfile
from pathlib import Path

from click.testing import CliRunner

from bayonet.cli import main

ROOT = Path(__file__).parents[1]
EXPORTS = ROOT / "exports"
SENSOR = ROOT / "examples" / "level_sensor.toml"


def call(*arguments: object) -> None:
    """One command of the tool; stops at the first that cannot be run."""
    done = CliRunner().invoke(main, [str(one) for one in arguments])
    print(f"{done.exit_code}: bayonet {' '.join(str(one) for one in arguments)}", flush=True)
    if done.exit_code not in (0, 1):
        raise SystemExit(done.output)


def script(name: str, target: Path) -> Path:
    """What a script of examples/ makes."""
    runpy.run_path(str(ROOT / "examples" / f"{name}.py"))["main"](target)
    return target


def keep(made: Path, names: tuple[str, ...], folder: Path) -> None:
    """Of what was made, only what README shows."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name in names:
        shutil.copy(made / name, folder / name)


def exports(work: Path) -> None:
    """All folders of exports/ but the pages of the report."""
    for name, command in (("level_sensor", "make"), ("level_sensor_print_test", "sample")):
        shutil.rmtree(EXPORTS / name, ignore_errors=True)
        call(command, SENSOR, "--out", EXPORTS / name)
    for name, arguments in (("measuring_sheet", ("measure",)), ("level_sensor_drawing",
                            ("draw", SENSOR))):  # fmt: skip
        shutil.rmtree(EXPORTS / name, ignore_errors=True)
        call(*arguments, "--out", EXPORTS / name)
    tank = script("make_header_tank", work / "header_tank.step")
    spot = ("--tank", tank, "--at", "60,-85,85")
    call("graft", SENSOR, *spot, "--down", "0,0,-1", "--valve-bore", 20, "--out", work / "grafted")
    files = ("graft.json", "graft.png", "graft.svg", "tank_with_socket.step",
             "tank_with_socket.stl")  # fmt: skip
    keep(work / "grafted", files, EXPORTS / "header_tank")
    wall = script("make_partition_wall_scan", work / "partition_wall_scan.stl")
    head = script("make_level_sensor_head", work / "sensor.step")
    call("graft", SENSOR, *spot, "--around", wall, "--valve", head, "--hand", "fingers",
         "--out", work / "round_it")  # fmt: skip
    shown = ("clear_map.png", "surroundings.png")
    keep(work / "round_it", shown, EXPORTS / "header_tank_surroundings")
    scan = EXPORTS / "level_sensor_scan"
    shutil.rmtree(scan, ignore_errors=True)
    scan.mkdir()
    call("scan", ROOT / "examples" / "level_sensor_scan.ply", "--out", scan / "plug.toml",
         "--report", scan)  # fmt: skip


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        exports(Path(folder))
    sys.exit(0)
