"""What is done at each event of MkDocs.

MkDocs renders the prose and sets the theme around the pages; everything else is `build.Site`.
The order of events: the site is built when the files are known, pages are composed when all
prose is rendered, and the engravings go into the finished pages.
"""

from __future__ import annotations

import gc
import logging
import sys
from collections.abc import Iterable, Mapping
from concurrent.futures import Executor
from pathlib import Path
from typing import Literal

from jinja2 import Environment
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import get_toc
from mkdocs.utils.templates import TemplateContext

from transposary.build import Site, Workshop, build_site
from transposary.cache import Cache, Limits
from transposary.configuration import imports_of
from transposary.engraving import EngraversError, executor_of
from transposary.plugin.beside import Beside
from transposary.plugin.filing import (
    ASSETS,
    SiteFiles,
    SmallPage,
    add_script,
    files_to_write,
    leave_out,
    leave_out_linked,
    named_in,
    navigation,
    put,
    put_others,
    write_files,
)
from transposary.plugin.known import has_known_templates, is_known, is_pure, surroundings
from transposary.plugin.leftout import LeftOut
from transposary.plugin.oldsite import OldSite
from transposary.plugin.options import TransposaryConfig, cache_of
from transposary.plugin.serving import Serving
from transposary.plugin.standing import Standing
from transposary.plugin.unchanged import Unchanged, nothing_to_write
from transposary.problems import Problem, Severity, refusal
from transposary.progress import Progress
from transposary.settings import Import, Settings
from transposary.site.compiled import Compiled
from transposary.site.compose import Composition, Linking, compose_once
from transposary.site.contents import contents
from transposary.site.filed import Filing
from transposary.site.links import Link
from transposary.site.offline import WORKER, end_of_worker, kept_files, worker
from transposary.site.page import Composed
from transposary.site.policy import with_policy
from transposary.site.prints import Prints
from transposary.site.source import markdown_of
from transposary.site.static import SCRIPT, SHIM, THEME, assets

log = get_plugin_logger(__name__)

# Nearly all values stay until the build ends. Looking through all of them for rings of references,
# as Python does by itself, costs a tenth of the build of a large glossary and finds little.
_YOUNG, _OLD = 50_000, 1_000


class TransposaryPlugin(BasePlugin[TransposaryConfig]):
    """Turns a folder of entries into a glossary that is engraved in every key."""

    def __init__(self) -> None:
        self._serving = False
        self._built: Site | None = None
        self._prints: Prints | None = None
        self._sources: frozenset[str] = frozenset()
        self._ours = Filing({}, {})
        self._composition = Composition({})
        self._executor: Executor | None = None
        self._compiled = Compiled()
        self._kept = Serving(active=False)
        self._standing: Standing | None = None
        self._left_out: LeftOut | None = None
        self._whole = False
        self._beside: Beside | None = None
        self._finished = False
        self._note: Unchanged | None = None
        self._told: tuple[Problem, ...] = ()
        self._left = False
        self._threshold = gc.get_threshold()
        self._progress = Progress(sys.stderr, silent=True)
        self._written = self._to_write = 0

    @property
    def _site(self) -> Site:
        if self._built is None:
            raise PluginError("the glossary is read when MkDocs has collected its files, not before")
        return self._built

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Notes whether the author is looking; having this event keeps the plugin alive in serve."""
        self._serving = command == "serve"
        self._kept = Serving(active=self._serving and not dirty)
        # A dirty build is one that writes into the old site.
        self._whole = command != "serve" and not dirty
        self._threshold = gc.get_threshold()
        first, second, _ = self._threshold
        # None at all is how somebody says that nothing is to be collected; a server goes on for long.
        if self._whole and first:
            gc.set_threshold(max(first, _YOUNG), second, _OLD)

    def _imports(self, config: MkDocsConfig) -> tuple[Import, ...]:
        path = config.config_file_path
        return imports_of(dict(self.config.import_), Path(path)) if path else ()

    def on_serve(self, server: LiveReloadServer, /, **_: object) -> LiveReloadServer:
        """Puts the site where it is served from: `serve --clean` calls itself a build."""
        self._publish()
        self._whole = False
        gc.set_threshold(*self._threshold)
        return server

    def on_shutdown(self) -> None:
        """Dismisses the workers that were kept for the next edit, and puts a finished site in place."""
        gc.set_threshold(*self._threshold)
        if self._executor is not None:
            self._executor.shutdown()
            self._executor = None
        self._publish()

    # After all others, who must hear of the error too.
    @event_priority(-100)
    def on_build_error(self, *, error: Exception) -> None:
        """Leaves the old site, and says in one line what the machine refused."""
        left = "; the old site is left as it was" if self._beside is not None else ""
        self._finished = False
        self._publish()
        if isinstance(error, OSError):
            raise PluginError(f"{refusal(error)}{left}") from error
        if isinstance(error, EngraversError):
            raise PluginError(f"{error}{left}") from error

    def _publish(self) -> None:
        """Puts the site in place of the old one if the build has come to its end."""
        beside, self._beside = self._beside, None
        note, self._note = self._note, None
        if beside is None:
            return
        if self._finished and not self._left:
            beside.publish()
            if note is not None:
                note.keep(self._told)
            if self._standing is not None:
                self._standing.put()
            return
        beside.leave("nothing has changed: " if self._left else "")
        if note is not None:
            note.drop()

    # Before all others, who may ask where the site is written; and before the theme's offline
    # plugin, which would name a shim on a foreign server.
    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Says where the site is written, and names our style sheets and scripts."""
        if self._whole:
            self._beside, self._finished = Beside(config), False
        for name in assets():
            address = f"{ASSETS}/{name}"
            if name == SHIM:
                config.extra.setdefault("polyfills", []).append(address)
            elif name.endswith(".css"):
                config.extra_css.append(address)
            elif name == SCRIPT:
                add_script(config, address)
        if self.config.offline_copy and not self._serving:
            add_script(config, f"{ASSETS}/wanted/offline.js")
        if config.theme.name:
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, str(THEME))
        config.watch += [str(one.path) for one in self._imports(config) if one.path.exists()]
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Saves what was served from being thrown away."""
        self._kept.put_aside(config)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Builds the site, and gives its pages and files to MkDocs in place of the entries."""
        cache = cache_of(self.config.cache, config)
        self._look_for_notes(cache, config)
        told = None if self._note is None else self._note.told()
        self._left = told is not None
        if told is not None:
            _tell(told)
            return nothing_to_write(config)
        return self._build(files, config, cache)

    def _look_for_notes(self, cache: Cache, config: MkDocsConfig) -> None:
        """Begins with the notes of the old site, if all that takes part in making it is known."""
        self._note = self._standing = None
        if self._beside is None or cache.folder is None:
            return
        site = self._beside.site
        around = surroundings(config, site)
        if around is None:
            return
        if not self._imports(config):
            self._note = Unchanged.of(cache, site, Path(config.docs_dir), around)
        if has_known_templates(config):
            self._standing = Standing(cache, OldSite(site, Path(config.site_dir)), around)

    def _build(self, given: Files, config: MkDocsConfig, cache: Cache) -> SiteFiles:
        settings = Settings(
            self.config.hand_span,
            dict(self.config.tonics),
            self.config.workers,
            self._imports(config),
            self.config.executor,
            self.config.publish_practice,
        )
        root = Path(config.docs_dir)
        if self._serving and self._executor is None:
            # Workers that are there already make an edit show at once.
            self._executor = executor_of(settings.workers, settings.executor)
        progress = self._progress = Progress(sys.stderr, silent=not log.isEnabledFor(logging.INFO))
        stands = None if self._standing is None else self._standing.stands
        workshop = Workshop(cache, self._executor, progress, stands)
        try:
            site = build_site(root, settings, drafts=self._serving, before=self._built, workshop=workshop)
        finally:
            # What is said of an error begins a line of its own.
            progress.close()
        self._built = site
        self._prints, self._sources = site.prints, frozenset(site.pages)
        _tell(site.problems)
        self._ours = files_to_write(site, config, serving=self._serving)
        files = SiteFiles(given, site.files, config)
        leave_out(files, site)
        refused = leave_out_linked(files, site, config.docs_dir)
        _tell(refused)
        self._told = (*site.problems, *refused)
        named = frozenset(named_in(config.nav))
        for source, page in site.pages.items():
            written = files.get_file_from_path(source)
            if written is None or not page.listed:
                listed = InclusionLevel.INCLUDED if page.listed else InclusionLevel.NOT_IN_NAV
                file = put(files, config, source, markdown_of(page).encode(), listed)
                # A page that the author's navigation names has its title from there.
                if not page.listed and source not in named:
                    self._page(file, config)
        put_others(files, config, site)
        if config.nav is None:
            config.nav = navigation(files, site)
        return files

    def _page(self, file: File, config: MkDocsConfig) -> None:
        """Gives a file a page whose prose is rendered only when that has to be, where that can be known."""
        if self._standing is not None:
            self._standing.page(file, config)
        elif self._kept.active and is_known(config) and is_pure(config):
            self._kept.page(file, config)
        elif self._whole:
            SmallPage(None, file, config)

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002  (MkDocs passes it)
        """Notes what every page shows."""
        self._kept.navigation(nav, config)
        if self._standing is not None:
            self._standing.navigation(nav)

    # Before plugins that look through the contents of all pages, such as those that mend links.
    @event_priority(50)
    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> None:
        """Composes the pages, now that all prose is rendered and nothing has searched it."""
        if self._left:
            return
        if self._serving and env.bytecode_cache is None:
            env.bytecode_cache = self._compiled
        urls = {file.src_uri: file.url for file in files}
        pages = {file.src_uri: file.page for file in files if file.page is not None}
        if self._standing is None:
            prose = {source: pages[source].content or "" for source in self._site.pages}
            linking = self._site.link(prose, urls, self._composition.linking)
            mentioned = self._site.mentioned_in(linking.mentions)
        else:
            self._built, linking, mentioned = self._standing.settle(self._site, files, config, urls)
        prints = self._site.prints
        for number, (source, composed) in enumerate(self._composed(linking, mentioned), 1):
            self._progress("composing", number, len(self._sources))
            page = pages[source]
            page.content = composed.html
            page.toc = get_toc(contents(composed.headings))
            # Pages of devices have nearly all of them in common.
            anchors = map(sys.intern, composed.anchors)
            page.present_anchor_ids = {*(page.present_anchor_ids or ()), *anchors}
        if self._standing is not None:
            self._left_out = self._standing.keep(files, self._ours, prints)
        elif self._kept.active:
            self._left_out = self._kept.keep(files, config, self._ours, prints.origins)
        else:
            write_files(self._ours.items(), Path(config.site_dir))
        shown = InclusionLevel.is_in_serve if self._serving else InclusionLevel.is_included
        self._written, self._to_write = 0, len(files.documentation_pages(inclusion=shown))

    def _composed(
        self, linking: Linking, mentioned: Mapping[str, tuple[Link, ...]]
    ) -> Iterable[tuple[str, Composed]]:
        """Composes all pages; a build that is the only one lets go of the site meanwhile."""
        site = self._site
        if not self._whole:
            self._composition = self._composition.again(site.pages, linking, mentioned)
            return self._composition.pages.items()
        self._built = None
        return compose_once(site.pages, linking, mentioned)

    def on_template_context(self, context: TemplateContext, **_: object) -> TemplateContext:
        """Lists all pages for a template, also those that stand already."""
        return context if self._left_out is None else self._left_out.with_pages(context)

    def on_page_context(self, context: TemplateContext, **_: object) -> TemplateContext:
        """Lists all pages for a page."""
        return context if self._left_out is None else self._left_out.with_pages(context)

    # After the search, and before the theme's offline plugin, which copies its index.
    @event_priority(-50)
    def _complete(self, *, config: MkDocsConfig) -> None:
        """Says the rest of what pages say that were not made again."""
        left_out, self._left_out = self._left_out, None
        if left_out is not None:
            self._kept.finish(left_out.finish(config))

    # After plugins that write files of their own, such as the search.
    @event_priority(-100)
    def _end(self, *, config: MkDocsConfig) -> None:
        """Writes the worker for the offline copy, which knows all files of the site."""
        self._finished = True
        self._progress.close()
        if not self._left:
            # Not before: what is made of the devices lies there until the pages are finished.
            cache_of(self.config.cache, config).prune(
                Limits(self.config.cache.days, self.config.cache.megabytes)
            )
        if self._serving or self._left:
            return
        root = Path(config.site_dir)
        if self._standing is not None:
            self._standing.note()
        kept = self.config.offline_copy
        (root / WORKER).write_bytes(worker(kept_files(root)) if kept else end_of_worker())

    on_post_build = CombinedEvent(_complete, _end)

    # After plugins that rewrite whole pages: they would take long over the engravings.
    @event_priority(-100)
    def on_post_page(self, output: str, *, page: MkDocsPage, config: MkDocsConfig) -> str:  # noqa: ARG002  (MkDocs passes it)
        """Writes the policy of a finished page into it, and puts the engravings there."""
        self._written += 1
        self._progress("writing pages", self._written, self._to_write)
        kept = output if self._serving else with_policy(output, page.content or "")
        if self._prints is None or page.file.src_uri not in self._sources:
            return kept
        return self._prints.finish(kept)

    # In serve the server sets a script of its own into every page.
    @event_priority(-100)
    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:  # noqa: ARG002  (MkDocs passes it)
        """Writes the policy into pages of the theme that have no content, such as that of a missing page."""
        page = template_name.endswith(".html") and not self._serving
        return with_policy(output_content, "") if page else output_content


def _tell(problems: Iterable[Problem]) -> None:
    for problem in problems:
        if problem.severity is Severity.ERROR:
            log.warning("%s", problem)
        else:
            log.info("%s", problem)
