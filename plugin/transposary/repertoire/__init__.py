"""Where a device fits in the songs of a glossary."""

from transposary.repertoire.fits import Fit, fits_of, repertoire_of, runs_of_fit
from transposary.repertoire.places import runs_of

__all__ = ["Fit", "fits_of", "repertoire_of", "runs_of", "runs_of_fit"]
