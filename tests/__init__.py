"""The tests of matebot; the folders mirror those of the package."""
