"""What is true of positions, and what is found of engines: results, how they are counted, and what is required."""
