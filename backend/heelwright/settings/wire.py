"""The schema of everything on the wire, from which the phone's types are generated."""

from typing import Any

from pydantic.json_schema import models_json_schema

from heelwright.commandlog import registry
from heelwright.settings.api import api

REF = "#/components/schemas/{model}"


def openapi() -> dict[str, Any]:
    """OpenAPI of the HTTP interface, with the arguments of each command and the shape of each row.

    `Commands` and `Rows` name them: one property for each command and each kind of row.
    """
    document: dict[str, Any] = dict(api.get_openapi_schema(path_prefix="/api/"))
    commands = {name: spec.args for name, spec in registry.commands().items()}
    rows = {name: kind.row for name, kind in registry.kinds().items()}
    inputs, input_schemas = models_json_schema(
        [(model, "validation") for model in commands.values()], ref_template=REF
    )
    outputs, output_schemas = models_json_schema(
        [(model, "serialization") for model in rows.values()], ref_template=REF
    )
    schemas = document["components"]["schemas"]
    schemas.update(input_schemas.get("$defs", {}))
    schemas.update(output_schemas.get("$defs", {}))
    schemas["Commands"] = _index({n: inputs[m, "validation"] for n, m in commands.items()})
    schemas["Rows"] = _index({n: outputs[m, "serialization"] for n, m in rows.items()})
    return document


def _index(named: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": dict(sorted(named.items())),
        "required": sorted(named),
        "additionalProperties": False,
    }
