"""The files of a site as MkDocs is to see them."""

from __future__ import annotations

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel

from transposary.build import Site
from transposary.glossary import Kind
from transposary.practice import RECORD


def leave_out(files: Files, site: Site) -> None:
    """Takes out what stands among the entries and cannot be one: MkDocs would print its YAML.

    So does the author's record of practice, which is nobody else's.
    """
    for file in tuple(files):
        among = file.src_uri.partition("/")[0] in tuple(Kind) and file.is_documentation_page()
        known = file.src_uri in site.pages or file.src_uri in site.withheld
        lost = among and not known and file.name.lower() not in ("index", "readme")
        if lost or file.src_uri == RECORD:
            files.remove(file)


def put(
    files: Files,
    config: MkDocsConfig,
    source: str,
    content: bytes,
    inclusion: InclusionLevel = InclusionLevel.UNDEFINED,
) -> File:
    """Adds a generated file, in place of one of that name."""
    written = files.get_file_from_path(source)
    if written is not None:
        files.remove(written)
    file = File.generated(config, source, content=content, inclusion=inclusion)
    files.append(file)
    return file


def navigation(files: Files, site: Site) -> list[dict[str, str] | str]:
    """Lists our index pages, then what else the author has written."""
    ours: list[dict[str, str] | str] = [{page.title: s} for s, page in site.pages.items() if page.listed]
    others = (file for file in files.documentation_pages() if file.inclusion.is_in_nav())
    return ours + [file.src_uri for file in others if file.src_uri not in site.pages]
