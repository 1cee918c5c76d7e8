"""The session of the documentation's notebook, run in a kernel as a reader runs it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import nbformat

from .conftest import GIRDER, MEMBER

NOTEBOOK = Path(__file__).parent.parent.parent / "docs" / "session.ipynb"


#: Runs a notebook in the present folder by this very interpreter; in a process of its own, since
#: the client leaves its sockets to the end of the process.
PROGRAM = """
import sys
import nbformat
from jupyter_client.kernelspec import KernelSpec
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient

notebook = nbformat.read(sys.argv[1], as_version=4)
manager = AsyncKernelManager()
argv = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
manager._kernel_spec = KernelSpec(argv=argv, display_name="this one", language="python")
NotebookClient(notebook, timeout=240, km=manager).execute()
nbformat.write(notebook, "executed.ipynb")
"""


def test_the_notebook_runs_and_shows_itself(tmp_path: Path) -> None:
    (tmp_path / "girder.toml").write_text(GIRDER, "utf-8")
    (tmp_path / "edge-girder.toml").write_text(MEMBER, "utf-8")
    command = [sys.executable, "-c", PROGRAM, str(NOTEBOOK)]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    executed = nbformat.read(tmp_path / "executed.ipynb", as_version=4)
    cells = [cell for cell in executed.cells if cell.cell_type == "code"]
    shown = [output for cell in cells for output in cell.outputs if "data" in output]
    kinds = [set(output.data) for output in shown]
    assert sum("text/html" in kind for kind in kinds) >= 6
    assert sum("image/svg+xml" in kind for kind in kinds) == 2
    assert all(len(o.data.get("text/plain", "")) < 5000 for o in shown)
    assert not [o for cell in cells for o in cell.outputs if o.output_type in ("stream", "error")]
    assert (tmp_path / "edge.html").read_text("utf-8").lower().startswith("<!doctype html>")
    for name in ("girder.vtu", "x.sqlite"):
        assert (tmp_path / name).stat().st_size > 1000


def test_the_notebook_is_kept_without_outputs() -> None:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert code
    assert not any(cell.outputs or cell.execution_count for cell in code)
