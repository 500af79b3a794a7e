"""Engraving on the machines of others: a small cluster on this one."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engraving.samples import STEPPING_OUT, TWO_HANDS
from transposary.engraving import Job, Press, engrave, executor_of
from transposary.notes import notes

distributed = pytest.importorskip("distributed", reason="the extra `distributed` is not installed")

MAKER = """
from distributed import Client
client = Client({address!r})
def made():
    return client.get_executor()
"""


@pytest.fixture
def address() -> Iterator[str]:
    """A cluster of two worker processes that nobody else can reach."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        yield cluster.scheduler_address


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_engraves_what_one_process_does(
    address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An executor of a cluster, named by its import path, gives the same bytes."""
    (tmp_path / "school.py").write_text(MAKER.format(address=address), encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    jobs = [
        Job(f"device-{number}", slot, passage, ("",) * len(notes(passage)))
        for number, passage in enumerate((STEPPING_OUT, TWO_HANDS))
        for slot in ("C", "D")
    ]
    with executor_of(0, "school:made") as executor:
        press = Press(executor)
        ordered = [*press.order(jobs[:2]), *press.order(jobs[2:])]
        assert list(press.collect())[-1] == (2, 2)
    sys.modules.pop("school").client.close()
    assert set(press.results(ordered).values()) == set(engrave(jobs, 1))
