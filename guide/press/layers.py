"""A theme's templates in layers: each may extend its own name, which means the one beneath it (`guide.press.theme`)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from jinja2 import BaseLoader, Environment, TemplateNotFound, TemplateSyntaxError, nodes

from guide.facts.text.meant import nearest
from guide.press.theme import Theme

__all__ = ["Inheriting", "Layers"]

_BENEATH = re.compile(r"(\d+):(.+)")  # how a template of a certain layer is named within the press


class Layers(BaseLoader):
    """Loads a theme's templates: the uppermost of a name, or by ``1:name`` that of the second folder or a lower one."""

    def __init__(self, theme: Theme) -> None:
        self.theme = theme

    def get_source(self, environment: Environment, template: str) -> tuple[str, str, Callable[[], bool]]:  # noqa: ARG002
        """Return a template's text, its file, and that it never changes while the press runs."""
        within = _BENEATH.fullmatch(template)
        first, name = (int(within[1]), within[2]) if within else (0, template)
        for layer in self.theme.layers[first:]:
            path = layer / "pages" / name
            if "/" not in name and path.is_file():
                return path.read_bytes().decode("utf-8").replace("\r\n", "\n"), str(path), lambda: True
        raise TemplateNotFound(name)

    def joined(self, template: str, parent: str) -> str:
        """Return which template one means that names another: its own name means the one beneath it."""
        within = _BENEATH.fullmatch(parent)
        first, name = (int(within[1]), within[2]) if within else (0, parent)
        if template != name:
            return template
        layers = self.theme.layers
        at = next((at for at in range(first, len(layers)) if (layers[at] / "pages" / name).is_file()), first)
        return f"{at + 1}:{name}"

    def strange_blocks(self, environment: Environment) -> Iterator[tuple[Path, int, str, str]]:
        """Yield each block that a template means to change and its parent lacks: file, line, name, and the nearest.

        A block within another that is there is new and its own affair.
        """
        for name, path in self.theme.templates() if len(self.theme.layers) > 1 else ():
            at = next(at for at, layer in enumerate(self.theme.layers) if layer in path.parents)
            tree, above = self._tree(environment, f"{at}:{name}")
            known = self._blocks(environment, above) if above else None
            for block in tree.body if tree is not None and known is not None else ():
                if isinstance(block, nodes.Block) and block.name not in (known or ()):
                    yield path, block.lineno, block.name, nearest(block.name, sorted(known or ())) or ""

    def _blocks(self, environment: Environment, template: str) -> set[str] | None:
        """Return the blocks of a template and of all that it extends; None where that cannot be told."""
        tree, above = self._tree(environment, template)
        if tree is None:
            return None
        own = {block.name for block in tree.find_all(nodes.Block)}
        inherited = self._blocks(environment, above) if above else set()
        return None if inherited is None else own | inherited

    def _tree(self, environment: Environment, template: str) -> tuple[nodes.Template | None, str]:
        """Return a template taken apart, and the one it extends, if it names one; None where it cannot be read."""
        try:
            tree = environment.parse(self.get_source(environment, template)[0])
        except (TemplateNotFound, TemplateSyntaxError, UnicodeDecodeError):
            return None, ""
        extends = tree.find(nodes.Extends)
        if extends is None or not isinstance(extends.template, nodes.Const):
            return tree, ""
        return tree, self.joined(str(extends.template.value), template)


class Inheriting(Environment):
    """Templates of which one that extends, includes or imports its own name means the one beneath it."""

    def __init__(self, layers: Layers, **settings: Any) -> None:
        super().__init__(loader=layers, **settings)
        self._layers = layers

    def join_path(self, template: str, parent: str) -> str:
        """Return which template is meant by a name that stands in another."""
        return self._layers.joined(template, parent)
