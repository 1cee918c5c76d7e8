"""The file of a study's rows: none twice, in order, and what other files are told."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.study.export import write_study_csv, write_study_parquet
from soapfilm.solver.study.run.store import Store
from soapfilm.solver.study.run.store_trouble import StoreError
from soapfilm.solver.study.run.work import Outcome

PLAN = [("k1", (1, "a")), ("k2", (2, "b")), ("k3", (3, "a, b"))]


def store_in(folder: Path) -> Store:
    store = Store(folder / "rows.sqlite", ["t", 'odd "name'], ["J", "A"])
    store.plan("p1", PLAN)
    return store


def test_a_row_is_kept_once_and_in_the_order_of_the_points(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        assert store.add("k3", {"J": 3.5, "A": None}, "", 0.1)
        assert store.add("k1", {}, "too thick", 0.2)
        assert not store.add("k3", {"J": 99.0}, "", 0.1)
        assert store.counts() == (3, 2, 1)
        assert store.columns == ("number", "t", 'odd "name', "J", "A", "error", "seconds")
        assert list(store.rows(["number", "t", "J", "error"])) == [
            (1, 1, None, "too thick"),
            (3, 3, 3.5, ""),
        ]
        assert store.errors(5) == [(1, "too thick")]
        assert store.ranges(["J"]) == [(3.5, 3.5)]


def test_rows_outlive_the_process_and_changed_plans(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        store.add("k1", {"J": 1.0}, "", 0.1)
        store.add("k2", {"J": 2.0}, "", 0.1)
    with Store(tmp_path / "rows.sqlite", ["t", 'odd "name'], ["J", "A"]) as again:
        again.plan("p2", [("k2", (2, "b")), ("k4", (4, "c"))])
        assert again.missing(1, 2) == [(2, "k4")]
        assert again.counts() == (2, 1, 0)
        assert list(again.rows(["number", "J"])) == [(1, 2.0)]


def test_errors_can_be_forgotten(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        store.add("k1", {}, "no", 0.1)
        store.add("k2", {"J": 1.0}, "", 0.1)
        assert store.forget_errors() == 1
        assert store.missing(1, 3) == [(1, "k1"), (3, "k3")]


def test_other_columns_are_another_study(tmp_path: Path) -> None:
    store_in(tmp_path).close()
    with pytest.raises(InputError, match="other parameters or results; give another --output"):
        Store(tmp_path / "rows.sqlite", ["t"], ["J", "A"])


def test_a_file_that_is_no_store_is_left_alone(tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("mine " * 100)
    with pytest.raises(InputError, match="cannot keep rows there"):
        Store(text, ["t"], ["J"])
    assert text.read_text() == "mine " * 100
    other = tmp_path / "other.sqlite"
    base = sqlite3.connect(other)
    base.execute("CREATE TABLE mine (x)")
    base.commit()
    base.close()
    with pytest.raises(InputError, match="not a file of study rows"):
        Store(other, ["t"], ["J"])


@pytest.mark.parametrize("name", ["j", "NUMBER", "key", "Error"])
def test_a_parameter_named_like_another_column(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="bears the name of another column"):
        Store(tmp_path / "rows.sqlite", [name], ["J"])


def test_the_view_can_be_read_by_anything_that_reads_sqlite(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        store.add("k2", {"J": 2.0, "A": 7}, "", 0.5)
        base = sqlite3.connect(tmp_path / "rows.sqlite")
        assert base.execute('SELECT t, "J" FROM study WHERE "J" > 1').fetchall() == [(2, 2.0)]
        base.close()


def test_csv_has_every_digit(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        store.add("k3", {"J": 0.1 + 0.2}, "", 0.5)
        write_study_csv(store, tmp_path / "rows.csv")
    lines = (tmp_path / "rows.csv").read_bytes().decode().split("\r\n")
    assert lines[0] == 'number,t,"odd ""name",J,A,error,seconds'
    assert lines[1] == '3,3,"a, b",0.30000000000000004,,,0.5'


def test_a_device_holds_no_rows_and_nothing_is_left_beside_it() -> None:
    if not Path("/dev/null").exists():
        pytest.skip("no such device here")
    with pytest.raises(InputError, match="is no ordinary file"):
        Store("/dev/null", ["t"], ["J"])
    assert not Path("/dev/null-journal").exists()


def test_runs_that_begin_at_once_share_a_new_store(tmp_path: Path) -> None:
    from concurrent.futures import ThreadPoolExecutor

    def begin(_: int) -> bool:
        store = Store(tmp_path / "new.sqlite", ["t"], ["J"])
        store.close()
        return True

    with ThreadPoolExecutor(6) as executor:
        assert all(executor.map(begin, range(12)))


def test_a_row_that_cannot_be_kept_says_that_others_are_safe(tmp_path: Path) -> None:
    with store_in(tmp_path) as store:
        store.add("k1", {"J": 1.0}, "", 0.1)
        (pages,) = store._base.execute("PRAGMA page_count").fetchone()
        store._base.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(StoreError, match="the disk is full; finished rows are safe"):
            store.add("k2", {"A": "x" * 100_000}, "", 0.1)
        assert store.counts() == (3, 1, 0)


def test_parquet_has_every_digit_and_one_type_a_column(tmp_path: Path) -> None:
    from pyarrow.parquet import read_table

    with store_in(tmp_path) as store:
        store.add("k2", {"J": 2.0, "A": 7}, "", 0.5)
        store.add("k3", {"J": 0.1 + 0.2, "A": 7.5}, "", 0.25)
        write_study_parquet(store, tmp_path / "rows.parquet")
        rows = list(store.rows())
    table = read_table(tmp_path / "rows.parquet")
    assert tuple(table.column_names) == store.columns
    for n, column in enumerate(table.columns):
        kept = [row[n] for row in rows]
        assert column.to_pylist() == kept
    assert len(rows) == 2


def test_parquet_is_written_in_groups_of_one_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All rows at once took gigabytes; a column's type must not follow from a group's rows."""
    from pyarrow.parquet import ParquetFile
    from soapfilm.report.study import export

    monkeypatch.setattr(export, "_GROUP", 1)
    with Store(tmp_path / "rows.sqlite", ["t"], ["J", "n", "none"]) as store:
        store.plan("p", [("a", (5,)), ("b", ("6 mm",)), ("c", (7.5,))])
        for outcome in (Outcome("a", {"J": 1, "n": 4}), Outcome("b", {"J": 2.5, "n": 5})):
            store.add_all([outcome, Outcome("c", {}, "no")])
        write_study_parquet(store, tmp_path / "rows.parquet")
    file = ParquetFile(tmp_path / "rows.parquet")
    assert file.num_row_groups == 3
    columns = file.read().to_pydict()
    assert columns["t"] == ["5", "6 mm", "7.5"]
    assert columns["J"] == [1.0, 2.5, None]
    assert columns["n"] == [4, 5, None]
    assert columns["none"] == [None] * 3
    kinds = [str(field.type) for field in file.schema_arrow]
    assert kinds == ["int64", "string", "double", "int64", "null", "string", "double"]


def test_no_rows_make_a_parquet_file_too(tmp_path: Path) -> None:
    from pyarrow.parquet import read_table

    with store_in(tmp_path) as store:
        write_study_parquet(store, tmp_path / "rows.parquet")
        assert read_table(tmp_path / "rows.parquet").column_names == list(store.columns)
