"""The Textual screens, one module a screen."""
