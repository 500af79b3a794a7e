"""Where a device fits in the songs of a glossary."""

from transposary.repertoire.fits import Fit, fits_of, repertoire_of

__all__ = ["Fit", "fits_of", "repertoire_of"]
