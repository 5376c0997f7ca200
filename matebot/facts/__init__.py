"""What a legal move does: small records, a fact a file, each checked on the board; no words and no opinion."""
