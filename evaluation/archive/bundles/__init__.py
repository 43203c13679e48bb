"""Bundles: a few sessions in a file of their own, and how it comes together with an archive.

All that ever happened in a session goes by its lasting name (`births.py`). A merge is the union of names:
nothing that is known is taken twice, nothing that is here is changed. Where two people entered different
things apart from each other, what is here goes on counting until one of them chooses.
"""
