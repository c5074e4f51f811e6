"""Design with what the bench taught; the commands of docs/bench.md."""

import re
import shlex
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from refledge.inputs.starter import starter_text
from refledge.interfaces import bench_options, cli, designing
from refledge.model.brief import Brief
from refledge.outputs.build import BuildReport
from refledge.store import Store
from tests.interfaces.benching import BENCH, ROOT, Run
from tests.interfaces.unplanned import no_print_plan
from tests.outputs.fake_study import check, fake_study


def test_design_takes_what_the_bench_taught_and_keeps_it_without_the_log(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The store beside the brief; then what the build keeps of it, as verify does.

    The log lies in the same store; none of it goes into a build.
    """
    (tmp_path / "brief.toml").write_text(starter_text(), encoding="utf-8")
    run("reduce", BENCH / "cantilever.toml", "--store", tmp_path / "bench.sqlite")
    run("log", "flight", "12 min", "--note", "over the lake", "--store", tmp_path)
    seen: list[Any] = []
    given: dict[str, bytes] = {}

    def design(_: object, *, learned: Any = None, **_more: object) -> Any:
        seen.append(learned)
        return fake_study(checks=(check("a"),))

    def write(_study: object, out: Path, files: dict[str, bytes], **_: object) -> BuildReport:
        given.update(files)
        return BuildReport(out, ("report.html",))

    monkeypatch.setattr(designing, "design", design)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(designing, "write_build", write)
    assert run("design", tmp_path / "brief.toml", "--out", tmp_path / "b").exit_code == 0
    assert seen[0].cards["PETG"].E_xy.measured_here
    build = tmp_path / "made"
    (build / "given").mkdir(parents=True)
    assert not [name for name in given if name.endswith(".sqlite")]
    assert not [name for name, data in given.items() if b"over the lake" in data]
    (build / "given" / "taught.json").write_bytes(given["given/taught.json"])
    (build / "brief.toml").write_text(starter_text(), encoding="utf-8")
    assert run("design", build / "brief.toml", "--out", tmp_path / "b").exit_code == 0
    assert seen[1].cards == seen[0].cards
    none = run("design", build / "brief.toml", "--out", tmp_path / "b", "--store", tmp_path / "x")
    assert none.exit_code == 2
    assert "--store: given" in none.stderr
    assert len(seen) == 2


def test_a_spool_of_the_command_line_goes_before_the_briefs_and_into_the_build(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    named = 'spools = ["PETG: blue 1", "PLA: w"]'
    text = starter_text().replace("[printer]", f"[printer]\n{named}")
    (tmp_path / "brief.toml").write_text(text, encoding="utf-8")
    run("reduce", BENCH / "cantilever.toml", "--store", tmp_path / "bench.sqlite")
    seen: list[tuple[str, ...]] = []

    def design(brief: Brief, **_: object) -> Any:
        seen.append(brief.printer.spools)
        return fake_study(checks=(check("a"),))

    monkeypatch.setattr(designing, "design", design)
    no_print_plan(monkeypatch)
    monkeypatch.setattr(designing, "write_build", lambda _s, out, *_, **__: BuildReport(out, ()))
    order = ("design", tmp_path / "brief.toml", "--out", tmp_path / "b")
    unknown = run(*order, "--spool", "PETG: grey 3")
    assert unknown.exit_code == 2
    assert 'spool of PLA: given "w"' in unknown.stderr
    (tmp_path / "brief.toml").write_text(text.replace(', "PLA: w"', ""), encoding="utf-8")
    assert 'spool of PETG: given "blue 1"' in run(*order).stderr
    assert run(*order, "--spool", "PETG grey 3").exit_code == 2
    assert run(*order, "--spool", "PETG: grey 3").exit_code == 0
    assert seen == [("PETG: grey 3",)]
    (tmp_path / "bench.sqlite").unlink()
    alone = run(*order)
    assert alone.exit_code == 2
    assert "none without a bench" in alone.stderr


def test_the_report_shows_literature_beside_measured(tmp_path: Path) -> None:
    from refledge.outputs.drawings import drawings  # noqa: PLC0415 - the only use
    from refledge.outputs.pictures import pictures  # noqa: PLC0415
    from refledge.outputs.report import report_html  # noqa: PLC0415
    from tests.outputs.small import shrink_pictures  # noqa: PLC0415

    shrink_pictures()
    with Store(tmp_path / "bench.sqlite") as store:
        CliRunner().invoke(
            cli.app, ["reduce", str(BENCH / "cantilever.toml"), "--store", str(store.path)]
        )
        found = bench_options.cards_of(store)
    study = replace(fake_study(), learned=found.of(["PETG"]), notes=found.about(["PETG"]))
    page = report_html(study, pictures(study), drawings(study))
    assert "What the bench taught" in page
    assert "1900 MPa ± 9.2%" in page
    assert "2031 MPa ± 3.4%" in page
    assert "E_xy measured on this bench" in page
    plain = replace(study, learned={}, notes=())
    assert "What the bench taught" not in report_html(plain, pictures(plain), drawings(plain))


def documented() -> list[str]:
    text = (ROOT / "docs" / "bench.md").read_text(encoding="utf-8")
    return [line for block in re.findall(r"```console\n(.*?)```", text, re.DOTALL)
            for line in block.splitlines()]  # fmt: skip


def test_the_commands_of_the_documentation_run(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    lines = documented()
    assert len(lines) >= 10
    for line in lines:
        program, *words = shlex.split(line.replace("build/bench", str(tmp_path)))
        if program == "python":
            subprocess.run([sys.executable, *words], check=True, capture_output=True)
            continue
        done = run(*words)
        assert done.exit_code == 0, f"{line}\n{done.stdout}{done.stderr}"
    made = {each.name for each in (tmp_path / "pages").iterdir()}
    assert made == {"cantilever.html", "layer-pull.html", "creep.html", "taps.html",
                    "run-up.html", "comparison.html"}  # fmt: skip
