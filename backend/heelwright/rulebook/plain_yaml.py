"""YAML as the books use it: safe types only, and each key once."""

from collections.abc import Hashable
from typing import Any

import yaml


class UniqueKeyLoader(yaml.SafeLoader):
    """PyYAML keeps the last of two equal keys and drops the first without a word."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, Any]:
        held = super().construct_mapping(node, deep)
        seen: set[Hashable] = set()
        for name, _ in node.value:
            key = self.construct_object(name, deep=True)
            if key in seen:
                raise yaml.constructor.ConstructorError(
                    None, None, f"two keys {key!r}", name.start_mark
                )
            seen.add(key)
        return held
