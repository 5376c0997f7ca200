"""What a position is worth under the laws of chess: with its halfmove clock and its history; no state of its own.

Sources: FIDE Laws of Chess, article 5.2 (stalemate, dead position) and 9.2, 9.3 (third repetition, fifty moves);
draws by claim are taken as draws. Checkmate ends the game at once, on the hundredth ply too (9.6.2).
"""
