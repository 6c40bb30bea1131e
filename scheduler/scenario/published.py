"""The published cards: what is published on each crop, value by value with its source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Annotated

from pydantic import Field

from scheduler.errors import BadInput, InputFault
from scheduler.scenario.faults import Checked
from scheduler.scenario.quantities import columns
from scheduler.scenario.rows import Percent, Text
from scheduler.scenario.tables import Numbered, read_table

CARDS, SOURCES = "process_cards.csv", "sources.csv"
Range = Annotated[float, Field(ge=0)]


class PublishedRow(Checked):
    """process_cards.csv of the published cards: an empty cell is a gap, not a nought."""

    id: Text = Field(description="the crop, as in sources.csv")
    cut: str | None = Field(default=None, description="the cut that the source speaks of")
    trim_loss_percent: Percent | None = Field(default=None, description="refuse, of weight bought")
    water_in_percent: Percent | None = Field(default=None, description="raw, wet basis")
    water_out_percent: Percent | None = Field(default=None, description="dried, wet basis")
    steam_lo_s: Range | None = Field(default=None, description="steaming, shortest")
    steam_hi_s: Range | None = Field(default=None, description="steaming, longest")
    drying_lo_s: Range | None = Field(default=None, description="drying time, shortest")
    drying_hi_s: Range | None = Field(default=None, description="drying time, longest")
    set_point_lo_c: float | None = Field(default=None, description="drying temperature, lowest")
    set_point_hi_c: float | None = Field(default=None, description="drying temperature, highest")
    fresh_store_lo_c: float | None = Field(default=None, description="fresh store, lowest")
    fresh_store_hi_c: float | None = Field(default=None, description="fresh store, highest")
    fresh_life_lo_days: Range | None = Field(default=None, description="life there, shortest")
    fresh_life_hi_days: Range | None = Field(default=None, description="life there, longest")


class SourceRow(Checked):
    """sources.csv: where one cell of process_cards.csv comes from."""

    card_id: Text = Field(description="id of process_cards.csv")
    column: Text = Field(description="column of process_cards.csv")
    value: Text = Field(description="the value, as it stands there")
    source: Text = Field(description="the publication and where it was seen")
    reference: Text = Field(description="file and column of the reference values it was taken from")


@dataclass(frozen=True, slots=True)
class PublishedCard:
    """A row, and for each of its filled fields the publication."""

    row: PublishedRow
    sources: Mapping[str, str]


def load_cards(folder: str | Path | None = None) -> tuple[PublishedCard, ...]:
    """The published cards of a folder, without one those that come with Commonrack.

    Raises BadInput with every fault; a filled cell without a source is one.
    """
    place: Traversable = Path(folder) if folder else files("scenarios") / "published_cards"
    faults: list[InputFault] = []
    cards = read_table(place, CARDS, PublishedRow, faults)
    sources = read_table(place, SOURCES, SourceRow, faults)
    faults += _unsourced(cards, sources)
    if faults:
        raise BadInput(tuple(faults))
    return tuple(PublishedCard(each.row, _of_card(each.row.id, sources)) for each in cards)


def _of_card(card_id: str, sources: list[Numbered[SourceRow]]) -> dict[str, str]:
    found = {each.row.column: each.row.source for each in sources if each.row.card_id == card_id}
    return {
        field: found[column]
        for field in PublishedRow.model_fields
        for column in columns(field)
        if column in found
    }


def _unsourced(
    cards: list[Numbered[PublishedRow]], sources: list[Numbered[SourceRow]]
) -> Iterator[InputFault]:
    ids = {each.row.id for each in cards}
    for source in sources:
        if source.row.card_id not in ids:
            yield source.fault("card_id", f"no such card in {CARDS}: {source.row.card_id!r}")
    for card in cards:
        sourced = _of_card(card.row.id, sources)
        for field in PublishedRow.model_fields:
            filled = getattr(card.row, field) is not None and field != "id"
            if filled and field not in sourced:
                yield card.fault(field, f"has no source in {SOURCES}")
            if field in sourced and not filled:
                yield card.fault(field, f"is empty, but {SOURCES} has it")
