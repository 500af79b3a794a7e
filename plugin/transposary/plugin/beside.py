"""A site that is written beside the old one, and takes its place when the build has come to its end."""

from __future__ import annotations

from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import get_plugin_logger

from transposary.problems import refusal
from transposary.replacing import HalfwayError, replace_content

log = get_plugin_logger(__name__)


class Beside:
    """The new site; made when the configuration is read, which from then on names its folder.

    Args:
        config: The configuration.

    Attributes:
        site: The folder of the old site.

    Raises:
        PluginError: The folder cannot be written.
    """

    def __init__(self, config: MkDocsConfig) -> None:
        self.site = Path(config.site_dir)
        self._config, self._site_dir = config, config.site_dir
        try:
            self._begun = replace_content(
                self.site, lambda: log.info("another build writes %s: waiting for its end", self.site)
            )
        except OSError as error:
            raise PluginError(f"the site cannot be written: {refusal(error)}") from error
        config.site_dir = str(self._begun.fresh)

    def leave(self, why: str = "") -> None:
        """Leaves the old site as it was.

        Args:
            why: What to say of it, with a colon behind it; empty for nothing.
        """
        self._config.site_dir = self._site_dir
        self._begun.drop()
        log.info("%sthe site in %s is left as it was", why, self._site_dir)

    def publish(self) -> None:
        """Puts the new site in place of the old one.

        Raises:
            PluginError: The disk refused it; the text says what stands now.
        """
        self._config.site_dir = self._site_dir
        try:
            self._begun.finish()
        except HalfwayError as error:
            raise PluginError(
                f"{refusal(error)}; the site is half exchanged: the next build ends it"
            ) from error
        except OSError as error:
            raise PluginError(f"{refusal(error)}; the old site is left as it was") from error
        log.info("the new site stands in %s", self._site_dir)
