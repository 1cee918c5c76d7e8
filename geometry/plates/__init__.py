"""Built-up sections: plates by the lines they follow, and the welds that join them.

`assemble` turns `Plate` and `Weld` objects into a section in which plates that merely touch are
separated.
"""

from .assembly import assemble
from .plate import Plate
from .weld import Weld

__all__ = ["Plate", "Weld", "assemble"]
