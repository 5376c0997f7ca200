"""The UCI protocol, from lines of text to messages and back; no chess, and no input or output but in `stdio`."""
