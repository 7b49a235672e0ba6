"""Reports as pages without a format: titles, rows, tables and drawings, in the words of the terminal."""
