"""The MkDocs adapter: options, events, and what MkDocs is to write. No other room imports MkDocs."""

from transposary.plugin.events import TransposaryPlugin
from transposary.plugin.options import TransposaryConfig

__all__ = ["TransposaryConfig", "TransposaryPlugin"]
