"""The report: one page, nothing fetched, everything escaped, the verdict first."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from refledge.model.checks import Verdict
from refledge.outputs import words
from refledge.outputs.drawings import drawings
from refledge.outputs.report import report_html
from refledge.study import Study
from tests.outputs.fake_study import check, fake_study

NASTY = '<script>alert("x")</script> & "sons"'


class _Page(HTMLParser):
    """Tags with their attributes, and the text outside style."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in ("img", "meta", "col", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words += data


def _page(study: Study) -> str:
    stems = ["assembly", "assembly-top", "assembly-side", *(f"part-{p.key}" for p in study.parts)]
    return report_html(study, dict.fromkeys(stems, b"png"), drawings(study))


@pytest.fixture(scope="module")
def page(study: Study) -> _Page:
    return _Page(_page(study))


def test_the_page_is_well_nested(page: _Page) -> None:
    assert page.open == []


def test_nothing_is_fetched_and_nothing_runs(built: Path) -> None:
    text = (built / "report.html").read_text(encoding="utf-8")
    page = _Page(text)
    links = [
        value or ""
        for _, attributes in page.tags
        for name, value in attributes.items()
        if name in ("src", "href", "data", "srcset", "action", "poster")
    ]
    assert links
    beside = {link for link in links if not link.startswith(("data:image/png;base64,", "#"))}
    assert all((built / link).is_file() for link in beside)  # followed by hand, not fetched
    assert not {"script", "link", "iframe", "object", "base"} & {tag for tag, _ in page.tags}
    assert not re.search(r"url\(|@import", text)
    assert "http" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "")


def test_text_from_the_user_is_escaped_everywhere() -> None:
    study = fake_study(title=NASTY)
    study = replace(
        study,
        brief=replace(study.brief, note=NASTY),
        parts=tuple(replace(p, name=NASTY, print_note=NASTY) for p in study.parts),
        masses=tuple(replace(m, name=NASTY, source=NASTY) for m in study.masses),
        checks=tuple(replace(c, title=NASTY, note=NASTY, part=NASTY) for c in study.checks),
        loads=tuple(replace(case, title=NASTY, reason=NASTY) for case in study.loads),
        shopping=tuple(replace(s, name=NASTY, why=NASTY) for s in study.shopping),
        fasteners=tuple(replace(f, name=NASTY, note=NASTY) for f in study.fasteners),
        alternatives=tuple(replace(a, worst=NASTY) for a in study.alternatives),
        notes=(NASTY,),
    )
    text = _page(study)
    assert "<script" not in text
    page = _Page(text)
    assert page.open == []
    assert page.words.count(NASTY) > 20


def test_the_verdict_comes_first_in_plain_words(page: _Page) -> None:
    said = page.words
    verdict = said.index("It does not hold: 1 of 7 checks fails.")
    assert verdict < said.index("What fails") < said.index("What cannot be answered")
    assert said.index("What holds only just") < said.index("all-up mass") < said.index("Cautions")


@pytest.mark.parametrize(
    ("verdicts", "sentence"),
    [
        ([Verdict.HOLDS] * 2, "It holds: all 2 checks."),
        ([Verdict.HOLDS, Verdict.NARROWLY], "It holds, 1 of 2 checks narrowly."),
        ([Verdict.UNKNOWN, Verdict.NARROWLY], "Nothing fails, but 1 of 2 checks cannot be"),
        ([Verdict.FAILS, Verdict.FAILS, Verdict.UNKNOWN], "It does not hold: 2 of 3 checks fail."),
    ],
)
def test_headline(verdicts: list[Verdict], sentence: str) -> None:
    checks = tuple(check(f"k{k}", verdict) for k, verdict in enumerate(verdicts))
    assert words.headline(fake_study(checks=checks)).startswith(sentence)


def test_a_finding_says_what_it_drives(study: Study) -> None:
    failing = replace(study, checks=(check("motor-tilt", Verdict.FAILS),))
    (finding,) = words.findings(failing, Verdict.FAILS)
    assert finding.drives == ("arm depth at the root (22.0 mm)",)
    assert finding.text.startswith("Motor tilt at full thrust (arm): 0.814°, at most 1.0")


def test_margins_in_words() -> None:
    assert words.degrees("4 h at 80 degC") == "4 h at 80 °C"
    assert words.percent(-0.113) == "−11.3 %"
    assert words.percent(0.057) == "+5.7 %"
    assert words.percent(float("inf")) == "unlimited"
    assert words.percent(25.0) == "> +1000 %"


def test_every_list_of_the_study_is_on_the_page(page: _Page, study: Study) -> None:
    said = " ".join(page.words.split())
    for wanted in (
        *(c.title for c in study.checks),
        *(p.print_note for p in study.parts),
        *(f.name for f in study.fasteners),
        *(s.name for s in study.shopping),
        *(m.name for m in study.masses),
        *(d.dimension for d in study.drivers),
        *(o.reason for o in study.layout_options),
        *(a.worst for a in study.alternatives),
        *(a.reason for a in study.brief.assumed),
        *(text for _, text in words.CAUTIONS),
        *study.notes,
    ):
        assert wanted in said, wanted


def test_every_picture_has_words_for_those_who_cannot_see_it(page: _Page) -> None:
    assert all(attributes.get("alt") for tag, attributes in page.tags if tag == "img")


def test_shared_space_is_said_aloud(study: Study) -> None:
    assembly = replace(study.assembly, overlaps=("arm 1 and leg 1",))
    page = _Page(_page(replace(study, assembly=assembly)))
    assert "Bodies share space: arm 1 and leg 1" in page.words


def test_checks_that_differ_in_load_case_are_put_together_with_the_worst_in_front() -> None:
    checks = (
        check("hover", load_case="hover", margin=2.0),
        check("other", title="Another"),
        check("landing", load_case="landing-one", margin=0.04, verdict=Verdict.NARROWLY),
        check("unsure", load_case="yaw", margin=float("nan"), verdict=Verdict.UNKNOWN),
    )
    first, second = words.condensed(checks)
    assert first.worst.key == "unsure"
    assert [c.key for c in first.others] == ["landing", "hover"]
    assert (second.worst.key, second.others) == ("other", ())
    said = " ".join(_Page(_page(fake_study(checks=checks))).words.split())
    assert "Other load cases: Hard landing on one leg 0.814° (+4.0 %, holds narrowly)," in said


def test_modes_of_one_kind_near_each_other_are_one_line(study: Study) -> None:
    modes = replace(
        study.airframe_modes,
        frequencies=np.array([20.7, 20.7, 21.0, 22.0, 40.0]),
        labels=("sideways", "sideways", "up", "sideways", "sideways"),
        felt=np.array([5.0, 4.0, 0.1, 0.2, 5.0]),
    )
    found = [(g.label, g.count, g.frequency, g.felt) for g in words.mode_groups(modes)]
    assert found == [
        ("sideways", 2, "20.7 Hz", 5.0),
        ("up", 1, "21.0 Hz", 0.1),
        ("sideways", 1, "22.0 Hz", 0.2),  # not felt, so apart from those that are
        ("sideways", 1, "40.0 Hz", 5.0),
    ]


def test_many_modes_are_grouped_more_coarsely(study: Study) -> None:
    modes = replace(
        study.airframe_modes,
        frequencies=np.linspace(20, 80, 60),
        labels=("sideways",) * 60,
        felt=np.zeros(60),
    )
    groups = words.mode_groups(modes, most=6)
    assert sum(g.count for g in groups) == 60
    assert len(groups) <= 6
