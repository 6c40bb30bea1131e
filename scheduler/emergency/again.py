"""Part-lots that are stopped again: what dried on or was kept cold, and ways that fall away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Dryer
from scheduler.domain.outage import Outage
from scheduler.domain.part_lot import PartLot, stopped_again
from scheduler.emergency.stopped import Stopped, hours_left, water_after
from scheduler.exposure_clock import part_clock


def under(asked: Asked, parts: tuple[PartLot, ...], station_id: str) -> Iterator[Stopped]:
    """Those that dried on or were kept cold there when it stopped: its clock goes on from then,
    what it stood before included."""
    stops = list(_stops(asked, station_id))
    for part in parts:
        found = [stop.stopped for stop in stops if part.is_in(station_id, stop.stopped)]
        at = min(found, default=None)
        if at is not None and stopped_again(part, parts) is None:
            what = open_again(asked, parts, part)
            left = part.left_s - _dried_s(part, at)
            if left > 0:
                dried = what.card.drying_s - left
                yield replace(
                    what,
                    station_id=station_id,
                    at=at,
                    left_s=hours_left(left),
                    water_percent=min(part.water_percent, water_after(what.card, dried)),
                    stood_s=part_clock(part, at).exposed_s,
                )


def lost_ways(asked: Asked, parts: tuple[PartLot, ...], station_id: str) -> Iterator[Stopped]:
    """Those that were to dry on, or be kept cold, in what is down by then: what they are stays, and
    they need another way."""
    for part in parts:
        if any(_falls_away(part, stop) for stop in _stops(asked, station_id)):
            warm = part.held and _down_before(part, _stops(asked, part.held.station_id))
            what = open_again(asked, parts, replace(part, held=None) if warm else part)
            yield what if warm else replace(what, out=_out(part, asked.happened.now))


def _out(part: PartLot, now: datetime | None) -> datetime | None:
    """Since when it has been out of the cold, as planned; None while it is in there."""
    until = part.held.until if part.held else None
    return until if until and now and until <= now else None


def _stops(asked: Asked, station_id: str) -> Iterator[Outage]:
    now = asked.happened.now
    for each in asked.happened.outages:
        if each.station_id == station_id and now is not None and each.stopped <= now:
            yield each


def _falls_away(part: PartLot, stop: Outage) -> bool:
    """Whether a run, or a stay in the cold, that had not begun cannot begin any more."""
    starts = [each.start for each in (part.dries_on,) if each and each.dryer_id == stop.station_id]
    starts += [each.since for each in (part.held,) if each and each.station_id == stop.station_id]
    return any(
        stop.stopped < start and (stop.back is None or start < stop.back) for start in starts
    )


def _down_before(part: PartLot, stops: Iterable[Outage]) -> bool:
    since = part.held.since if part.held else part.stopped
    return any(each.stopped < since and (each.back is None or since < each.back) for each in stops)


def _dried_s(part: PartLot, at: datetime) -> int:
    run = part.dries_on
    return max(0, int((at - run.start).total_seconds())) if run else 0


def open_again(asked: Asked, parts: tuple[PartLot, ...], part: PartLot) -> Stopped:
    """A part-lot as what has to be given a way."""
    note = asked.note(part.note_id)
    card, run = asked.card(note.card_id), part.dries_on
    return Stopped(
        note=note,
        card=card,
        racks=part.racks,
        prepared_g=part.prepared_g,
        set_point_c=run.set_point_c if run else card.set_point_c,
        dryer=_racks_of(asked, parts, part),
        station_id=part.station_id,
        at=part.stopped,
        left_s=part.left_s,
        water_percent=part.water_percent,
        stood_s=part.stood_s,
        stood_most_s=part.stood_most_s,
        was=part,
    )


def _racks_of(asked: Asked, parts: tuple[PartLot, ...], part: PartLot) -> Dryer:
    """The dryer whose racks it lies on: the first that stopped under it."""
    dryers = {each.id: each for each in asked.kitchen.dryers}
    line = sorted(
        (each for each in parts if each.note_id == part.note_id and each.stopped <= part.stopped),
        key=lambda each: each.stopped,
    )
    names = [each.station_id for each in (*line, part)]
    names += [each.dryer_id for each in (part.dries_on,) if each]
    return next(dryers[each] for each in names if each in dryers)
