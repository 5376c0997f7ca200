"""Lesson sheets: one page with pictures, all of it computed; text and pictures first as data, then as one HTML file."""
