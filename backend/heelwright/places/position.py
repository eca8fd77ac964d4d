"""Where on Earth something is, and how that is known. No Django."""

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

Source = Literal["device", "plus_code", "post_code", "typed"]


def _six_decimals(degrees: float) -> float:
    """A tenth of a metre: nothing that is known of a door is finer."""
    return round(degrees, 6)


class Position(BaseModel):
    """`accuracy_m` is by how much it may be off, where whoever told it said so."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    lat: Annotated[float, Field(ge=-90, le=90, allow_inf_nan=False), AfterValidator(_six_decimals)]
    lon: Annotated[
        float, Field(ge=-180, le=180, allow_inf_nan=False), AfterValidator(_six_decimals)
    ]
    source: Source
    accuracy_m: int | None = Field(ge=0, le=1_000_000)
