"""Stage 3: the mapping file's shapes are found among loose strokes, with their labels and what is left over."""

from cordpath.symbols.examples.examples import NO_EXAMPLES, Examples, gather_examples
from cordpath.symbols.mapping_file.mapping import load_mapping
from cordpath.symbols.spot import spot

__all__ = ["NO_EXAMPLES", "Examples", "gather_examples", "load_mapping", "spot"]
