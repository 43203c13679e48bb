"""Pages over a session: files, lamps, gamut, attachments."""
