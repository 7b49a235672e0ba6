"""Drawings of reports: shapes without a format, and what they show."""
