"""The page opened in a browser, as whoever gets it on a memory stick opens it: used, printed, held against WCAG."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest

from allocator.layout import Layout
from allocator.problem import Problem
from allocator.reporting.page import html
from tests.reporting.samples import LAYOUT, PROBLEM
from tests.reporting.test_tradeoffs import FOUND
from tests.solved import demonstration, solved

CHROMIUM = shutil.which("chromium")
if CHROMIUM is None:
    pytest.skip("needs Chromium (Debian package chromium)", allow_module_level=True)
sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright (pip install -e '.[test]')")
axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs axe-playwright-python")

DEMONSTRATIONS = ("clinic-van", "crop-sprayer", "hill-climber", "pilot-boat")
DESKTOP = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
# WCAG 2.2 up to level AA, and what the engine calls best practice
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# rows of one table are alike: the engine looks at three of each, and at what is to be seen
LEFT_OUT = "tbody tr:nth-child(n+4), .about[hidden], svg.strip > g > *"


@pytest.fixture(scope="module")
def browser():
    with sync_api.sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield chromium
        chromium.close()


@dataclass
class Opened:
    """A page that is open, with what it has said and asked for since."""

    page: sync_api.Page
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def thing(self, kind: str, name: str) -> sync_api.Locator:
        """A part of the plan that is to be seen."""
        return self.page.locator(f"svg.plan g.{kind}[aria-label^='{kind} {name} ']:visible")

    def about(self) -> sync_api.Locator:
        """What is told of the part that is pointed at."""
        return self.page.locator(".about:visible")

    def column(self, sheet: str, heading: str) -> list[str]:
        """Texts of a column of a table, from top to bottom."""
        headings = self.page.locator(f"#{sheet} thead th").all_inner_texts()
        place = [text.strip() for text in headings].index(heading) + 1
        return self.page.locator(f"#{sheet} tbody tr td:nth-child({place})").all_inner_texts()


@pytest.fixture
def open_page(browser, tmp_path):
    contexts = []

    def opened(text: str, how: dict[str, object]) -> Opened:
        path = tmp_path / "page.html"
        path.write_text(text, encoding="utf-8")
        context = browser.new_context(**how)
        contexts.append(context)
        one = Opened(context.new_page())
        one.page.on("console", lambda message: one.said.append(message.text))
        one.page.on("pageerror", lambda error: one.said.append(str(error)))
        one.page.on("request", lambda request: one.asked.append(request.url))
        one.page.goto(path.as_uri())
        return one

    yield opened
    for context in contexts:
        context.close()


def violations(one: Opened) -> list[str]:
    one.page.evaluate("query => document.querySelectorAll(query).forEach(part => part.remove())", LEFT_OUT)
    found = axe.Axe().run(one.page, options={"runOnly": RULES, "resultTypes": ["violations"]})
    return [
        f"{broken['id']}: {node['html'][:200]}: {node['failureSummary']}"
        for broken in found.response["violations"]
        for node in broken["nodes"]
    ]


def wider_than_the_screen(one: Opened) -> bool:
    return one.page.evaluate("document.documentElement.scrollWidth > window.innerWidth")


def a_fed_load(layout: Layout) -> tuple[str, str]:
    """A load that is alone on its output, and the unit that feeds it."""
    circuit = next(circuit for circuit in layout.circuits if len(circuit.loads) == 1)
    return circuit.loads[0], circuit.unit


def a_load_is_hovered(one: Opened, layout: Layout) -> None:
    load, unit = a_fed_load(layout)
    one.thing("load", load).scroll_into_view_if_needed()
    one.thing("load", load).hover()
    assert one.about().locator("h3").inner_text() == f"Load {load}"
    assert f"unit {unit}" in one.about().inner_text()
    assert one.page.locator("svg.plan.wide .run.out").count() >= 2
    one.page.mouse.move(1.0, 1.0)
    assert one.about().count() == 0
    assert one.page.locator(".run").count() == 0


def a_unit_is_clicked(one: Opened, problem: Problem, layout: Layout) -> None:
    unit = layout.units[0]
    one.thing("unit", unit.name).click()
    one.page.mouse.move(1.0, 1.0)
    pins = [pin for output in problem.unit_type[unit.type].outputs for pin in output.pins]
    assert one.about().locator("tbody tr td:first-child").all_inner_texts() == pins
    assert one.thing("unit", unit.name).get_attribute("aria-pressed") == "true"


def a_table_is_sorted_and_filtered(one: Opened, layout: Layout) -> None:
    button = one.page.locator("#circuits thead th", has_text="current A").locator(".dt-column-order")
    button.focus()
    one.page.keyboard.press("Enter")
    one.page.locator("#circuits thead th[aria-sort=ascending]", has_text="current A").wait_for()
    amperes = [float(text.replace(",", "")) for text in one.column("circuits", "current A") if text]
    assert amperes == sorted(amperes) and len(set(amperes)) > 1
    load, _ = a_fed_load(layout)
    one.page.get_by_label("Filter: Circuits").fill(load)
    one.page.locator("#circuits_info", has_text=f"of {len(layout.circuits) + len(layout.direct)}").wait_for()
    assert load in one.column("circuits", "loads")
    assert len(one.column("circuits", "loads")) < len(layout.circuits)


@pytest.mark.parametrize("name", DEMONSTRATIONS)
def test_the_page_of_a_demonstration_problem_works(name, open_page):
    bundles = name != "pilot-boat"  # in bundles its first layout takes a minute
    problem = demonstration(name, bundles=bundles)
    # the first layout found will do for a page; these are found for other tests too
    layout = solved(name, bundles=bundles, gap=0.25 if name in ("clinic-van", "crop-sprayer") else 0.0)
    text = html(problem, layout)

    one = open_page(text, DESKTOP)
    a_load_is_hovered(one, layout)
    a_unit_is_clicked(one, problem, layout)
    a_table_is_sorted_and_filtered(one, layout)
    printed = one.page.pdf()
    assert printed.startswith(b"%PDF") and printed.count(b"/Type /Page\n") >= 4

    one.page.set_viewport_size(PHONE["viewport"])
    assert one.thing("unit", layout.units[0].name).locator("xpath=ancestor::*[contains(@class, 'narrow')]").is_visible()
    assert not wider_than_the_screen(one)
    assert violations(one) == []

    assert one.said == []
    assert len(one.asked) == 1 and one.asked[0].startswith("file:")


@cache
def sample_text() -> str:
    return html(PROBLEM, LAYOUT, FOUND)


@pytest.fixture
def sample(open_page):
    return open_page(sample_text(), DESKTOP)


def test_a_page_with_violations_and_a_trade_off_is_accessible_too(sample):
    assert violations(sample) == []
    assert not wider_than_the_screen(sample)


def test_the_keyboard_alone_reaches_what_the_mouse_does(sample):
    sample.thing("load", "heater").focus()
    sample.page.keyboard.press("Tab")
    focused = sample.page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert focused.startswith("load ") and "heater" not in focused
    assert sample.about().count() == 1
    sample.page.keyboard.press("Enter")
    sample.page.evaluate("document.activeElement.blur()")
    assert sample.about().count() == 1
    sample.page.keyboard.press("Escape")
    assert sample.about().count() == 0


def test_a_load_can_be_chosen_from_a_list(sample):
    sample.page.get_by_label("load", exact=True).select_option(label="lamp 2")
    assert "shares with" in sample.about().inner_text()
    sample.page.get_by_role("button", name="Clear").click()
    assert sample.about().count() == 0


def test_on_a_phone_the_drawings_are_upright_and_a_tap_keeps_what_is_tapped(open_page):
    phone = open_page(sample_text(), PHONE)
    phone.thing("load", "heater").tap()
    assert phone.about().locator("h3").inner_text() == "Load heater"
    assert phone.page.locator("#pick-load").input_value() == phone.about().get_attribute("id")
    assert phone.page.locator("svg.plan.narrow").is_visible()
    assert not phone.page.locator("svg.plan.wide").is_visible()
    assert not wider_than_the_screen(phone)


def test_on_paper_lists_are_whole_and_nothing_waits_to_be_pressed(sample):
    sample.page.emulate_media(media="print")
    for gone in ("nav", "#about", ".picks", ".dt-search"):
        assert not sample.page.locator(gone).first.is_visible()
    frame = sample.page.locator("#wires").locator("xpath=ancestor::div[contains(@class, 'dt-layout-table')]")
    assert frame.evaluate("e => e.scrollHeight <= e.clientHeight + 1")


def test_without_scripts_everything_but_pointing_sorting_and_filtering_is_there(browser, tmp_path: Path):
    (tmp_path / "page.html").write_text(sample_text(), encoding="utf-8")
    context = browser.new_context(java_script_enabled=False, **DESKTOP)
    page = context.new_page()
    page.goto((tmp_path / "page.html").as_uri())
    assert page.locator("#wires tbody tr").count() > 10
    assert page.locator("svg.plan.wide").is_visible()
    context.close()


def test_the_engine_sees_what_is_missing(sample):
    sample.page.evaluate("document.querySelector('label[for=pick-load]').remove()")
    assert [found.split(":")[0] for found in violations(sample)] == ["select-name"]
