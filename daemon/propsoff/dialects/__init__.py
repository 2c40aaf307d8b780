"""The dialects: how each firmware family's console speaks and what its words mean.

::

    known = catalogue(user=[folder])                 # Catalogue: dialects, errors, notes
    dialect = recognise(capture, known.dialects)     # Dialect, or None
    reading = read_craft(capture, dialect)           # Reading: craft, exchanges, dialect

Import from the modules: `propsoff.dialects.catalogue`, `.load`, `.model`, `.read`, `.recognise`.
"""
