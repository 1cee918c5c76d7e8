"""``python -m benchmarks``: the speed comparison."""

from .speed import main

main()
