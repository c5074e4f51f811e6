"""The README's example runs as it stands, is short, and makes what it says."""

import re
import runpy
from pathlib import Path

import pytest

from refledge.inputs.brief import read_brief

ROOT = Path(__file__).parents[1]
MOST_LINES = 15


def example() -> str:
    found = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert len(found) == 1
    return str(found[0])


@pytest.mark.slow
def test_the_example_runs_and_builds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code = example()
    assert len([line for line in code.splitlines() if line.strip()]) <= MOST_LINES
    script = tmp_path / "example.py"
    script.write_text(code)
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)
    runpy.run_path(str(script))
    assert (tmp_path / "build" / "from-python" / "report.html").exists()
    mass = float(re.findall(r"([0-9.]+) kg", capsys.readouterr().out)[0])
    brief = read_brief(ROOT / "examples" / "lake-sampler" / "brief.toml")
    carried = brief.battery.mass + brief.payload.mass + 6 * brief.motor.mass
    assert carried < mass < brief.mission.all_up_limit
