"""What nobody has played yet: devices that are in no song, and songs in which there is no device."""

from __future__ import annotations

from transposary.glossary import Device
from transposary.site.edition import Edition
from transposary.site.links import UNUSED, Link, source_of_entry
from transposary.site.page import Page
from transposary.site.pages.fits import fit_groups, offers
from transposary.site.pages.indexes import Group, GroupsView, Item, by_title
from transposary.song import Song

_NOWHERE = Link("fits nowhere in the repertoire yet")
_NOTHING = Link("no device fits yet")


def unused_page(edition: Edition) -> Page:
    """Makes the page of devices without a song and songs without a device, each with its best fit."""
    played = {one.song.slug for device in edition.glossary.devices for one in device.applied_in}
    devices = [device for device in by_title(edition.glossary.devices) if not device.applied_in]
    songs = [song for song in by_title(edition.glossary.songs) if song.slug not in played]
    groups = (
        Group(
            "Devices that are played in no song", "devices", tuple(_device(edition, one) for one in devices)
        ),
        Group("Songs in which no device is played", "songs", tuple(_song(edition, one) for one in songs)),
    )
    view = GroupsView(tuple(group for group in groups if group.items))
    return Page(UNUSED, "Not yet used", "groups", view, "Devices and songs that wait for each other.")


def _device(edition: Edition, device: Device) -> Item:
    tags: tuple[Link, ...] = (_NOWHERE,)
    for group in fit_groups(edition, device)[:1]:
        best = group.places[0]
        tags = (Link(f"fits in {group.song.text}, {best.where.text}", best.where.target), best.key)
    return Item(Link(device.title, source_of_entry(device)), device.summary, tags, (), device.draft)


def _song(edition: Edition, song: Song) -> Item:
    tags: tuple[Link, ...] = (_NOTHING,)
    for best in offers(edition, song)[:1]:
        tags = (Link(f"{best.device.text} fits", best.device.target), best.places[0].where)
    return Item(Link(song.title, source_of_entry(song)), "", tags, (), song.draft)
