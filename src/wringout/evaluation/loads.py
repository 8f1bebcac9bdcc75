"""The airplane weighed and loaded: every configuration's empty mass, every card's loading."""

from __future__ import annotations

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Dossier
from wringout.loading import EmptyMass, LoadingReport, empty_mass, loading_report


def empty_masses(airplane: Airplane) -> dict[str, EmptyMass]:
    """Empty mass and arm of each configuration, by its name."""
    return {item.name: empty_mass(airplane, item.name) for item in airplane.configurations}


def loadings_of(dossier: Dossier) -> dict[str, LoadingReport]:
    """Each card's loading as flown, by the card's name, from ramp to zero fuel."""
    return {
        card.name: loading_report(dossier.airplane, card.configuration, card.loading)
        for card in dossier.cards
    }
