"""Testing other engines: games and questions over positions whose truth is known, and reports about them."""
