"""What people meet: the command line, the screens and the reports, in one wording."""
