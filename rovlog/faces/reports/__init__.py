"""Results put into words, as text or JSON; shared by the command line and the screens."""
