"""Road times by a service of the same open interface, over HTTP: places leave this server."""

import json
from collections.abc import Sequence
from http.client import HTTPException
from typing import Any
from urllib.request import Request, urlopen

from heelwright.places.roads.asking import gathered
from heelwright.places.roads.matrix import Matrix, NoRoads
from heelwright.places.rules import Point

PATIENCE_S = 20


def by_service(points: Sequence[Point], address: str) -> Matrix:
    """`address` is where the service is, without the name of the action. Raises NoRoads.

    It is told the places, in the body of the request, and nothing else.
    """
    if not address.startswith(("https://", "http://")):
        raise NoRoads("not_an_address")

    def ask(request: dict[str, Any]) -> Any:
        asked = Request(  # noqa: S310  # its scheme is known
            f"{address.rstrip('/')}/sources_to_targets",
            data=json.dumps(request).encode(),
            headers={"Content-Type": "application/json"},
        )
        try:
            with urlopen(asked, timeout=PATIENCE_S) as answer:  # noqa: S310
                return json.load(answer)
        except (OSError, HTTPException, ValueError) as error:
            raise NoRoads("no_answer") from error

    return gathered(points, ask)
