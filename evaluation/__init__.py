"""drydown's knowledge of prints: sheets, readings, colour, judgement and the archive. It knows no screen."""
