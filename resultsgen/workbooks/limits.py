"""How large a table may be, and what a spreadsheet may cost; README says the same."""

ROWS = 100_000
COLUMNS = 200
CELLS = 1_000_000

UNPACKED = 100_000_000
"""Bytes of an archive when it is unpacked, as its own directory has it."""

MEMORY = 300_000_000
"""Bytes of memory for the process that opens spreadsheets."""

SECONDS = 5
"""Of work on all spreadsheets of a meet."""

PATIENCE = 60
"""Seconds after which a process that does not answer is given up, however busy the machine is."""
