"""What several results give alike: their table as a frame, themselves as a page."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

from .pages import write_page

if TYPE_CHECKING:
    from .report.data_table import DataTable
    from .report.page.document import Document
    from .report.page.origin import Origin


class Framed:
    """A result whose main table becomes a frame.

    Examples
    --------
    >>> import soapfilm as sf
    >>> frame = sf.solve("HEB200").stress(T="1 kN*m").to_frame("pandas")
    >>> len(frame) > 0
    True
    """

    __slots__ = ()

    def _main_table(self) -> DataTable:
        raise NotImplementedError

    def to_frame(self, library: str | None = None) -> Any:
        """`stations` of a member, `table` of all else, as a frame (see `DataTable.to_frame`).

        Parameters
        ----------
        library : str, optional
            As there; left out, the first one that is installed.
        """
        return self._main_table().to_frame(library)


class Paged:
    """A result that becomes one page.

    Examples
    --------
    >>> import soapfilm as sf, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     sf.solve("HEB200").report(f"{folder}/section.html")
    """

    __slots__ = ()

    def _document(self, origin: Origin) -> Document:
        raise NotImplementedError

    def report(self, path: str | os.PathLike[str]) -> None:
        """Write one self-contained HTML page.

        Parameters
        ----------
        path : path
            Ends in .html.

        Raises
        ------
        InputError
            If the path does not end in .html, or cannot be written.
        """
        write_page(path, self._document)
