"""Sheets: what the carver takes to the bench. One module draws one sheet or file; none computes anything of its own.

Lines have one ink. Which is which is told by their weight and dashes (`drawn` has the table), since sheets are printed
in black, copied and traced.
"""
