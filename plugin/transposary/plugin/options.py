"""The options of the plugin in mkdocs.yml."""

from __future__ import annotations

from pathlib import Path

from mkdocs.config.base import Config, ValidationError
from mkdocs.config.config_options import DictOfItems, SubConfig, Type
from mkdocs.config.defaults import MkDocsConfig

from transposary.cache import FOLDER, Cache, Limits
from transposary.theory.keys import check_tonics


class Tonics(DictOfItems[str]):
    """Tonics by slot and mode, each of which must be a key of that slot."""

    def run_validation(self, value: object) -> dict[str, str]:
        """Refuses what cannot be followed."""
        tonics = super().run_validation(value)
        faults = check_tonics(tonics)
        if faults:
            told = (f"{fault.text}; {fault.hint}" if fault.hint else fault.text for fault in faults)
            raise ValidationError(". ".join(told))
        return tonics


class CacheConfig(Config):
    """The option `cache`: what a build keeps for the next one, in `.cache` beside mkdocs.yml."""

    enabled = Type(bool, default=True)
    """Whether anything is kept."""

    days = Type(int, default=Limits().days)
    """How long something is kept that no build has used."""

    megabytes = Type(int, default=Limits().megabytes)
    """How much is kept in all."""


class TransposaryConfig(Config):
    """The options of the plugin in mkdocs.yml."""

    hand_span = Type(int, default=14)
    """Widest stretch of one hand that needs no remark, in semitones: an octave is 12, a tenth 16."""

    tonics = Tonics(Type(str), default={})
    """Tonics to use in place of those with fewer accidentals: `{Gb major: F#}`."""

    workers = Type(int, default=0)
    """Processes that engrave; 0 for as many as there are cores, 1 for none besides the build."""

    import_ = DictOfItems(Type(str), default={})
    """Other glossaries, folders or archives, by the names that they have here: `{horns: ../horns.zip}`."""

    executor = Type(str, default="")
    """`package.module:function` that makes another `concurrent.futures.Executor`, such as Dask's."""

    offline_copy = Type(bool, default=False)
    """Whether browsers keep all pages of the published site, for times without a connection."""

    publish_practice = Type(bool, default=False)
    """Whether the page of the author's practice is built for everybody."""

    cache = SubConfig(CacheConfig)
    """What a build keeps for the next one, in `.cache`; `transposary check --clean-cache` takes it out."""


def cache_of(options: CacheConfig, config: MkDocsConfig) -> Cache:
    """Finds the cache beside mkdocs.yml; one that is switched off, or has no such file, keeps nothing."""
    path = config.config_file_path if options.enabled else None
    return Cache(Path(path).parent / FOLDER if path else None)
