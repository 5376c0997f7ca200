"""The report as JUnit XML for build servers.

Every requirement is a test that may fail. Every game, question and probe is a test with its story; it fails only in a
run without requirements, since with them the plan says how much may go wrong.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree

from matebot.assess.judging.results import ENGINE, Result
from matebot.assess.reports.as_text import MOST_OF_A_CASE, case_text
from matebot.assess.reports.report import AssessmentReport, Form, quantity
from matebot.quoting import shown


def as_junit(report: AssessmentReport) -> str:
    """Return the report as a JUnit XML document."""
    root = ElementTree.Element("testsuites", name=_clean(f"assessment of {report.name(ENGINE)}"))
    groups: dict[str, list[Result]] = {}
    for result in report.results:
        groups.setdefault(result.task.split()[0], []).append(result)
    for part, results in groups.items():
        _cases(root, part, results, strict=not report.plan.require)
    _requirements(root, report)
    _count(root, root.findall("testsuite"))
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode", xml_declaration=True) + "\n"


def _cases(root: ElementTree.Element, part: str, results: Sequence[Result], strict: bool) -> None:
    suite = ElementTree.SubElement(root, "testsuite", name=part)
    for result in results:
        case = _case(suite, part, result.task, result.seconds)
        if not result.success and strict:
            kind = result.faults[0].kind if result.faults else "goal missed"
            _fail(case, kind, case_text(result))
        ElementTree.SubElement(case, "system-out").text = _clean(case_text(result))
    _count(suite, suite.findall("testcase"))


def _requirements(root: ElementTree.Element, report: AssessmentReport) -> None:
    suite = ElementTree.SubElement(root, "testsuite", name="requirements")
    for item, found, holds in report.requirements():
        case = _case(suite, "requirements", item.text, 0.0)
        if holds is None:
            _fail(case, "not measured", f"expected games or questions that count for {item.text}, got none")
        elif not holds:
            _fail(case, "requirement", f"expected {item.text}, got {quantity(item.kind, found)}")
    done = _case(suite, "requirements", "everything planned was run", 0.0)
    if not report.complete:
        _fail(done, "incomplete", f"expected {report.tasks} results, got {len(report.results)}")
    used = _case(suite, "requirements", "every position of the suite was used", 0.0)
    if report.skipped:
        _fail(used, "suite", "; ".join(f"line {item.line}: {item.text}" for item in report.skipped))
    _count(suite, suite.findall("testcase"))


def _case(suite: ElementTree.Element, part: str, name: str, seconds: float) -> ElementTree.Element:
    return ElementTree.SubElement(
        suite, "testcase", classname=f"assessment.{part}", name=_clean(name), time=f"{seconds:.3f}"
    )


def _fail(case: ElementTree.Element, kind: str, text: str) -> None:
    ElementTree.SubElement(case, "failure", type=kind, message=_clean(text)).text = _clean(text)


def _count(element: ElementTree.Element, children: Sequence[ElementTree.Element]) -> None:
    """Write the sums of a suite, or of all suites, into its attributes."""
    cases = list(element.iter("testcase"))
    element.set("tests", str(len(cases)))
    element.set("failures", str(sum(1 for case in cases if case.find("failure") is not None)))
    element.set("errors", "0")
    element.set("time", f"{sum(float(child.get('time', 0)) for child in children):.3f}")


def _clean(text: str) -> str:
    """Return a text a document may hold (XML 1.0, section 2.2); its writer escapes the markup."""
    return shown(text, MOST_OF_A_CASE)


FORM = Form(".xml", as_junit)
