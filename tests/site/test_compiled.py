"""Compiled templates between builds."""

import jinja2
import pytest

from transposary.site.compiled import Compiled


def _said(compiled: Compiled, source: str) -> str:
    environment = jinja2.Environment(
        loader=jinja2.DictLoader({"page": source}), bytecode_cache=compiled, autoescape=True
    )
    return environment.get_template("page").render(name="Low Tide")


def test_a_template_is_compiled_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another environment takes the code that is there, and compiles what has changed since."""
    compiled = Compiled()
    assert _said(compiled, "Play {{ name }}") == "Play Low Tide"
    with monkeypatch.context() as context:
        context.delattr(jinja2.Environment, "compile")
        assert _said(compiled, "Play {{ name }}") == "Play Low Tide"
    assert _said(compiled, "Hear {{ name }}") == "Hear Low Tide"
