"""The pages, a module for each part of a dossier: a new one is a module, a template and a line here."""

from __future__ import annotations

from fastapi import APIRouter

from wringout.web.pages import (
    airplane,
    claim_edits,
    claims,
    compare,
    cost,
    edits,
    flight_edits,
    flights,
    handling,
    home,
    loading,
    machine,
    missions,
    model,
    next,
    notes,
    options,
    points,
    recordings_in,
    report,
    shelf,
    static,
    strips,
    texts,
    work,
)
from wringout.web.parts import PARTS

ROUTERS: tuple[APIRouter, ...] = (
    static.router,
    shelf.router,
    home.router,
    edits.router,
    texts.router,
    work.router,
    flights.router,
    flight_edits.router,
    recordings_in.router,
    airplane.router,
    loading.router,
    options.router,
    notes.router,
    handling.router,
    machine.router,
    points.router,
    model.router,
    next.router,
    missions.router,
    strips.router,
    cost.router,
    compare.router,
    claims.router,
    claim_edits.router,
    report.router,
)


def built_parts() -> frozenset[str]:
    """The parts that have a page of their own."""
    paths = {getattr(route, "path", "") for router in ROUTERS for route in router.routes}
    return frozenset(part.slug for part in PARTS if f"/d/{{name}}/{part.slug}" in paths)
