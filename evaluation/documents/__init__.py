"""Every result as other programs get it: one typed document for each command that takes `--json`.

The types are the shape: `drydown schema COMMAND` prints them as JSON Schema. Numbers are rounded where a
document is filled, never in what is kept.
"""
