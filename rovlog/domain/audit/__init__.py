"""What changed, when it flew, and which change is to blame."""
