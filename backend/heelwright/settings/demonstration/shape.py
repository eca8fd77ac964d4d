"""What all data of the invented practice has in common."""

from pydantic import BaseModel, ConfigDict


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
