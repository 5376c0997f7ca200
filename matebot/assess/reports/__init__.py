"""What was found, as a report; a form a file."""
