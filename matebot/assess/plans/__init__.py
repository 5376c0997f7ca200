"""What is to be assessed: plans, suites of positions, and the games and questions they are made of."""
