"""One module for each command of the program, imported when it is called."""
