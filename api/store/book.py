"""The book in a database: one transaction, all its pages."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy.orm import Session

from api.records import happened, house, notes, people, plans, told, wishes
from api.services.job_ports import Jobs
from api.store import tables
from api.store.job_queue import DatabaseJobs
from api.store.plans import DatabasePlans
from api.store.records import DatabaseRecords


class DatabaseBook:
    """The port Book over one session; whoever opened the session commits it."""

    def __init__(self, session: Session, jobs: Callable[[Session], Jobs] = DatabaseJobs) -> None:
        self.session = session
        self.jobs = jobs(session)
        self.settings = DatabaseRecords(session, tables.KitchenSettingsRow, house.KitchenSettings)
        self.growers = DatabaseRecords(session, tables.GrowerRow, house.GrowerEntry)
        self.helpers = DatabaseRecords(session, tables.HelperRow, house.Helper)
        self.papers = DatabaseRecords(session, tables.PaperRow, house.KeptPaper)
        self.cards = DatabaseRecords(session, tables.CardRow, house.CardEntry)
        self.approvals = DatabaseRecords(session, tables.ApprovalRow, house.Approval)
        self.people = DatabaseRecords(session, tables.PersonRow, people.Person)
        self.own_settings = DatabaseRecords(session, tables.OwnSettingsRow, people.OwnSettings)
        self.tokens = DatabaseRecords(session, tables.TokenRow, people.Token)
        self.notes = DatabaseRecords(session, tables.NoteRow, notes.NoteEntry, "called")
        self.standing_lots = DatabaseRecords(session, tables.StandingLotRow, notes.StandingLot)
        self.lots = DatabaseRecords(session, tables.LotRow, notes.Lot)
        self.plans = DatabasePlans(session)
        self.weeks = DatabaseRecords(session, tables.WeekRow, plans.WeekEntry)
        self.turns = DatabaseRecords(session, tables.TurnRow, plans.KeptTurn)
        self.happenings = DatabaseRecords(session, tables.HappeningRow, happened.Happening)
        self.outages = DatabaseRecords(session, tables.OutageRow, happened.OutageEntry)
        self.wishes = DatabaseRecords(session, tables.WishRow, wishes.WishEntry)
        self.messages = DatabaseRecords(session, tables.MessageRow, told.Message)
        self.deeds = DatabaseRecords(session, tables.DeedRow, told.Deed)
        self.answered_once = DatabaseRecords(session, tables.AnsweredOnceRow, told.AnsweredOnce)

    def secret(self, name: str, make: Callable[[], str]) -> str:
        row = self.session.get(tables.SecretRow, name)
        if row is None:
            row = tables.SecretRow(name=name, value=make())
            self.session.add(row)
        return row.value
