"""A manager's week in Chromium, from the notes to the texts, with script and without."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

from playwright.sync_api import FilePayload, Page, expect

from api.records.jobs import Job, Step
from api.services.jobs import SoFar, asked_about, beat, claim, finish
from scheduler.domain.plan import Proof
from scheduler.expand import expanded
from scheduler.keeping import keeping
from scheduler.prepare import problem
from scheduler.units import Grams
from scheduler.whiteboard import whiteboard
from tests.browser.conftest import House, goes_to
from tests.served import WEEK
from tests.shelves import FRIDAY
from web.views.note_import import COLUMNS

FOUND = SoFar(3.0, 900_000, 1_100_000, 887_876, course=(Step(1.0, 900_000, 1_100_000),))
BETTER = replace(
    FOUND, worth_g=950_000, course=(*(FOUND.course or ()), Step(2.5, 950_000, 1_100_000))
)


class WorkerByHand:
    """Does what a worker does, step by step, with a plan made by hand."""

    def __init__(self, house: House, number: int) -> None:
        self.shelf = house.kitchen.shelf
        with self.shelf.working() as jobs:
            found = claim(jobs, "one", at=FRIDAY, lease=timedelta(hours=1), number=number)
        assert found is not None
        self.job: Job = found

    def tells(self, found: SoFar) -> None:
        with self.shelf.working() as jobs:
            beat(jobs, self.job, until=FRIDAY, so_far=found)

    def ends(self) -> None:
        with self.shelf.reading() as book:
            asked = asked_about(book.jobs, self.job)
        kept = keeping(asked, problem(asked))
        plan = expanded(asked, kept, kept.firm.as_posted or whiteboard(kept))
        proof = Proof(plan.worth_g, Grams(plan.worth_g + 1_000), plan.worth_g)
        with self.shelf.writing() as book:
            finish(book, self.job, asked, replace(plan, proof=proof), at=FRIDAY, stopped=True)


def looks_again(desk: Page, *, script: bool) -> None:
    if not script:  # with script on it looks by itself
        desk.get_by_role("link", name="Look again").click()


def test_notes_are_narrowed_noted_changed_and_taken_in(desk: Page):
    goes_to(desk, "Harvest notes")
    desk.get_by_label("Grower").select_option("G01")
    desk.get_by_label("In order of").select_option("weight")
    desk.get_by_role("button", name="Narrow the list").click()
    expect(desk.locator(".rows tbody tr").first).to_contain_text("R02")

    desk.get_by_role("link", name="Note a harvest").click()
    desk.get_by_label("Whose?").select_option("G03")
    desk.get_by_label("Which crop?").select_option("basil")
    desk.get_by_label("Which day does it come?").fill("2026-08-25")
    desk.get_by_label("How much").fill("4")
    look = desk.get_by_role("button", name="What would it be?")
    if look.is_visible():
        look.click()
    expect(desk.locator("#answer")).to_contain_text("It would fit")
    desk.get_by_role("button", name="Note it").click()
    expect(desk.get_by_role("status")).to_contain_text("Noted.")

    desk.get_by_role("link", name="Change it").click()
    desk.get_by_label("How much").fill("5")
    desk.get_by_role("button", name="Keep the change").click()
    expect(desk.locator("h1")).to_contain_text("basil, 5 kg")
    desk.get_by_role("link", name="Stand it down").click()
    desk.get_by_role("button", name="Stand it down").click()
    expect(desk.get_by_role("status")).to_contain_text("is over: stood down.")

    desk.get_by_role("link", name="Take in many from a file").click()
    rows = f"{COLUMNS}\nG99,tomato,5,2026-08-26T08:00,,yes,no,no,\n"
    many = FilePayload(name="many.csv", mimeType="text/csv", buffer=rows.encode())
    desk.get_by_label("File").set_input_files(many)
    desk.get_by_role("button", name="Take it in").click()
    expect(desk.get_by_role("status")).to_contain_text("0 of 1 rows are in the book now")
    expect(desk.locator("main")).to_contain_text("there is no grower G99")


def test_a_week_is_laid_out_watched_stopped_and_posted(desk: Page, house: House, script: bool):
    goes_to(desk, "Lay out")
    desk.get_by_label(WEEK).check()
    desk.get_by_label("15 seconds").check()
    desk.get_by_role("button", name="Lay out").click()
    expect(desk.locator("main")).to_contain_text("it waits for a worker")
    worker = WorkerByHand(house, int(desk.url.rpartition("/")[2]))

    worker.tells(FOUND)
    looks_again(desk, script=script)
    expect(desk.locator("#told")).to_contain_text("900 kg has a place")
    drawn = desk.locator(".course polyline.worth").get_attribute("points")
    worker.tells(BETTER)
    looks_again(desk, script=script)
    expect(desk.locator("#told")).to_contain_text("950 kg has a place")
    assert desk.locator(".course polyline.worth").get_attribute("points") != drawn

    desk.get_by_role("button", name="Stop and keep the best").click()
    expect(desk.locator("main")).to_contain_text("It stops as soon as the best so far is kept.")
    worker.ends()
    looks_again(desk, script=script)
    expect(desk.locator("main")).to_contain_text("Stopped; the best so far is kept.")

    desk.get_by_role("link", name="The plan beside the whiteboard plan").click()
    expect(desk.locator("main")).to_contain_text("prepared weight rescued")
    desk.get_by_role("link", name="Waiting list").last.click()
    expect(desk.get_by_role("heading", level=2).first).to_contain_text("R")
    desk.get_by_role("link", name="Post it: see first what is sent").click()
    texts = desk.locator("blockquote").all_inner_texts()
    assert texts
    desk.get_by_role("button", name=re.compile("^Post it and write to")).click()
    expect(desk.get_by_role("status")).to_contain_text("is posted;")
    assert set(texts) <= set(desk.locator("blockquote").all_inner_texts())
    desk.get_by_role("button", name=re.compile("^It was sent")).first.click()
    expect(desk.get_by_role("status")).to_contain_text("It is written down as sent.")


def test_a_paper_is_renewed_by_keyboard(desk: Page):
    goes_to(desk, "Papers in order")
    renew = desk.get_by_role("link", name=re.compile("^Renew.*liability insurance, G04"))
    renew.focus()
    desk.keyboard.press("Enter")
    expect(desk.get_by_label("Which paper?")).to_have_value("liability insurance")
    desk.get_by_label("Its last day").fill("2027-08-20")
    desk.keyboard.press("Enter")
    expect(desk.get_by_role("status")).to_contain_text("liability insurance: written down.")
    desk.get_by_role("button", name="Undo").click()
    expect(desk.locator("main")).to_contain_text("6 days left")
