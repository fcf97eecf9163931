"""The same check on a cluster: dask.distributed's own, of this machine, with a worker killed in the middle."""

import json
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from keyproof.linter import executors, jobs, pieces
from keyproof.linter.options import Options

from .conftest import FAULTY, SOUND, Keyproof

distributed = pytest.importorskip("distributed")

pytestmark = [
    pytest.mark.xdist_group("cluster"),
    pytest.mark.filterwarnings("ignore"),  # of the cluster, which ends with its processes
]


@pytest.fixture(scope="module")
def workers() -> Iterator[Any]:
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
    ) as cluster:
        yield cluster


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    folder = tmp_path / "archive"
    folder.mkdir()
    for number in range(24):
        (folder / f"{number:02}.txt").write_text((FAULTY if number % 2 else SOUND) * 2)
    (folder / "zz.txt").write_bytes(b"\xff\xfe\xff")
    return folder


def test_a_cluster_says_what_one_process_says(workers: Any, archive: Path, keyproof: Keyproof) -> None:
    run = ("check", "--as", "jsonl", str(archive))
    alone = keyproof(*run, "--jobs", "1")
    shared = keyproof(*run, "--cluster", workers.scheduler_address)
    assert shared.exit_code == alone.exit_code
    assert [json.loads(line) for line in shared.stdout.splitlines()] == [
        json.loads(line) for line in alone.stdout.splitlines()
    ]


def test_nothing_is_lost_with_a_worker_that_is_killed(workers: Any, archive: Path) -> None:
    paths = sorted(map(str, archive.iterdir()))
    expected = [result.findings for result in jobs.results(paths, Options(), 1)]
    cluster = executors.cluster(workers.scheduler_address)

    def kill() -> None:
        time.sleep(0.2)
        next(iter(workers.workers.values())).process.process._process.kill()

    killer = threading.Thread(target=kill)
    killer.start()
    shared = jobs.in_order(pieces.pieces(paths, Options()), Options(), 1, cluster=cluster)
    found = [result.findings for result in shared]
    killer.join()
    assert found == expected


def test_workers_with_another_keyproof_are_refused(workers: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    executors.cluster(workers.scheduler_address)
    with distributed.Client(workers.scheduler_address, set_as_default=False) as client:
        assert set(client.run(executors.code_version).values()) == {executors.code_version()}
    mine = executors.code_version()
    monkeypatch.setattr(executors, "_expected", lambda: f"not {mine}")
    with pytest.raises(executors.NoCluster, match="another keyproof"):
        executors.cluster(workers.scheduler_address)


def test_an_address_where_nobody_answers_says_so(archive: Path, keyproof: Keyproof) -> None:
    done = keyproof("check", "--cluster", "no address", str(archive))
    assert done.exit_code == 2
    assert "no cluster answers" in done.stderr


def test_what_needs_files_of_this_machine_is_refused(archive: Path, keyproof: Keyproof) -> None:
    done = keyproof("check", "--cluster", "tcp://localhost:1", "--tables", "x", str(archive))
    assert done.exit_code == 2
    assert "--cluster" in done.stderr
