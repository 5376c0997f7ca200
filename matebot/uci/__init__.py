"""The UCI protocol, from lines of text to messages and back; no chess, and all input and output is in `stdio`."""
