"""The files of a site beside its pages: a hundred a device, each read when it is wanted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from hashlib import blake2b


@dataclass(frozen=True, slots=True)
class Filed:
    """A file of a site.

    Attributes:
        origin: What it is made from: files of one origin have the same bytes, in whatever build.
        read: Gives its bytes.
    """

    origin: str
    read: Callable[[], bytes] = field(compare=False)


@dataclass(frozen=True, slots=True)
class Bundle:
    """Files in one folder, and in those below it, that are made from the same.

    Attributes:
        origin: What they are made from.
        names: Their addresses from that folder.
        read: Gives the bytes of one by its address from there.
    """

    origin: str
    names: tuple[str, ...]
    read: Callable[[str], bytes]


@dataclass(frozen=True, slots=True, eq=False)
class Filing(Mapping[str, Filed]):
    """All these files by their addresses from the site's root.

    Attributes:
        bundles: Files that are made from the same, by the folder in which they lie.
        single: All others.
    """

    bundles: Mapping[str, Bundle]
    single: Mapping[str, Filed]

    def __getitem__(self, address: str) -> Filed:
        if address in self.single:
            return self.single[address]
        folder = address
        while folder:
            folder = folder.rpartition("/")[0]
            bundle = self.bundles.get(folder)
            name = address[len(folder) + 1 :]
            if bundle is not None and name in bundle.names:
                return _filed(bundle, name)
        raise KeyError(address)

    def __iter__(self) -> Iterator[str]:
        for folder, bundle in self.bundles.items():
            yield from (f"{folder}/{name}" for name in bundle.names)
        yield from self.single

    def __len__(self) -> int:
        return len(self.single) + sum(len(bundle.names) for bundle in self.bundles.values())

    def where(self, kept: Callable[[str], bool]) -> Filing:
        """Gives the files whose addresses pass."""
        left = {
            folder: replace(one, names=tuple(name for name in one.names if kept(f"{folder}/{name}")))
            for folder, one in self.bundles.items()
        }
        return Filing(left, {address: filed for address, filed in self.single.items() if kept(address)})

    def since(self, before: Filing) -> Iterator[tuple[str, Filed]]:
        """Gives the files that another site has not, or has from another origin."""
        for folder, bundle in self.bundles.items():
            old = before.bundles.get(folder)
            if old is None or (old.origin, old.names) != (bundle.origin, bundle.names):
                yield from ((f"{folder}/{name}", _filed(bundle, name)) for name in bundle.names)
        for address, filed in self.single.items():
            known = before.single.get(address)
            if known is None or known.origin != filed.origin:
                yield address, filed

    def gone(self, before: Filing) -> Iterator[str]:
        """Gives the addresses that another site has, and this one has not."""
        for folder, bundle in before.bundles.items():
            left = self.bundles.get(folder)
            if left is None or left.names != bundle.names:
                yield from (address for name in bundle.names if (address := f"{folder}/{name}") not in self)
        yield from (address for address in before.single if address not in self)


def addresses_in(folder: str, bundle: Bundle) -> tuple[str, ...]:
    """Lists the files of a bundle by their addresses from the site's root."""
    return tuple(f"{folder}/{name}" for name in bundle.names)


def in_memory(content: bytes) -> Filed:
    """Files what is there already."""
    return Filed(blake2b(content, digest_size=20).hexdigest(), lambda: content)


def _filed(bundle: Bundle, name: str) -> Filed:
    return Filed(f"{bundle.origin} {name}", partial(bundle.read, name))
