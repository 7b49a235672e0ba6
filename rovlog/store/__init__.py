"""The only code that touches disk, git, serial line or clock."""
