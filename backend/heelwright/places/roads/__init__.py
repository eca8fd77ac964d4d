"""How far and how long the drive is between places: guessed, or read from a road map."""

from heelwright.places.roads.choice import Choice, drives, on_offer
from heelwright.places.roads.estimate import estimated
from heelwright.places.roads.matrix import Matrix, NoRoads

__all__ = ["Choice", "Matrix", "NoRoads", "drives", "estimated", "on_offer"]
