"""Queries that run for each click, built once."""

from __future__ import annotations

from sqlalchemy import Select, bindparam, func, select

from checks.journal import schema

DATA = "plant-data"
"""Kind of the first event of every journal."""


def _latest() -> Select[tuple[int, int | None]]:
    plant, event = schema.plant.c, schema.event.c
    newest = select(func.max(event.seq)).where(event.plant_id == plant.id, event.kind == DATA)
    return select(plant.events, newest.scalar_subquery().label("data")).where(plant.id == bindparam("key"))


LATEST = _latest()
"""The query for the version of a plant: it runs several times for each click."""


def _list() -> Select[tuple[int, str, str, str | None, str | None, str | None]]:
    plant, event = schema.plant.c, schema.event.c
    of_plant = event.plant_id == plant.id
    founder = select(event.writer).where(of_plant, event.seq == 1).scalar_subquery()
    at = select(event.at).where(of_plant, event.seq == plant.events).scalar_subquery()
    of_kind = select(event.body).where(of_plant, event.kind == bindparam("kind")).order_by(event.seq.desc()).limit(1)
    return select(
        plant.id,
        plant.name,
        plant.journal,
        founder.label("founder"),
        at.label("at"),
        of_kind.scalar_subquery().label("latest"),
    ).order_by(plant.id)


LIST = _list()
"""The query for the list of plants."""
