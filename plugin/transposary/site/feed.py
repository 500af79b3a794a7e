"""New and changed devices as an Atom feed.

The days are those that authors write into their entries: no clock, no file and no repository is
asked, so that the same entries give the same bytes everywhere.

Source: RFC 4287, The Atom Syndication Format; RFC 4122 for the names of entries.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from urllib.parse import urljoin
from uuid import NAMESPACE_URL, uuid5

from markupsafe import escape

from transposary.glossary import Device, Kind, source_name
from transposary.site.links import source_of

FEED = "feed.xml"
"""Where the feed lies, from the site's root."""

MOST = 50
"""Entries of the feed; older ones are left out."""


@dataclass(frozen=True, slots=True)
class Publisher:
    """Who publishes a glossary.

    Attributes:
        title: What it calls itself.
        author: Whose it is; empty for nobody in particular.
        address: Where it is published; empty where that is not known, and addresses in the feed
            are then relative to it.
    """

    title: str
    author: str
    address: str


def feed(devices: Iterable[Device], urls: Mapping[str, str], publisher: Publisher) -> str | None:
    """Writes the feed: the devices with a day, the latest first.

    Args:
        devices: The devices that are published.
        urls: Address from the site's root by source of a page.
        publisher: Who publishes them.

    Returns:
        The feed, or None where no device has a day.
    """
    dated = [(day, one) for one in devices if not source_name(one.slug) for day in _day(one)]
    if not dated:
        return None
    dated.sort(key=lambda found: (-found[0].toordinal(), found[1].slug))
    entries = "".join(_entry(day, one, urls, publisher) for day, one in dated[:MOST])
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n<feed xmlns="http://www.w3.org/2005/Atom">'
        f"<title>{escape(publisher.title)}</title><id>{_name(publisher, '')}</id>"
        f"<updated>{_moment(dated[0][0])}</updated>"
        f"<author><name>{escape(publisher.author or publisher.title)}</name></author>"
        f'<link rel="self" href="{escape(urljoin(publisher.address, FEED))}"/>'
        f'<link href="{escape(urljoin(publisher.address, "index.html"))}"/>{entries}</feed>\n'
    )


def _day(device: Device) -> Iterable[date]:
    return [day] if (day := device.revised or device.added) is not None else []


def _entry(day: date, device: Device, urls: Mapping[str, str], publisher: Publisher) -> str:
    source = source_of(Kind.DEVICE, device.slug)
    address = urljoin(publisher.address, urls[source])
    added = f"<published>{_moment(device.added)}</published>" if device.added else ""
    what = "Revised: " if device.revised and device.revised != device.added else ""
    return (
        f"<entry><title>{what}{escape(device.title)}</title><id>{_name(publisher, source)}</id>"
        f'<updated>{_moment(day)}</updated>{added}<link href="{escape(address)}"/>'
        f"<summary>{escape(device.summary)}</summary>"
        + "".join(f'<category term="{role}"/>' for role in device.roles)
        + "</entry>"
    )


def _moment(day: date) -> str:
    return f"{day.isoformat()}T00:00:00Z"


def _name(publisher: Publisher, source: str) -> str:
    """Names an entry for good, wherever the site moves to."""
    return uuid5(NAMESPACE_URL, f"{publisher.title} {source}").urn
