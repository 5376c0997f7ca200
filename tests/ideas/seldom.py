"""Moves that show what is seldom seen: by kind of idea the men, who is to move, the move and who attacks."""

from __future__ import annotations

SELDOM = {
    "mates": (
        "8/8/6q1/8/8/8/5k1K/8 b g6h6 b",
        "1k6/3P4/1K6/8/8/8/8/8 w d7d8r w",
        "8/6Q1/8/7r/5K1k/8/8/8 w g7g3 b",
    ),
    "mating_net": (
        "4K3/2q5/8/P3k3/8/8/8/8 b e5e6 b",
        "8/k1K5/8/8/2R5/8/8/8 w c4h4 w",
        "8/8/6q1/8/8/8/5k1K/8 b f2f3 b",
        "4k3/6Q1/3K4/8/8/8/8/8 w d6d5 w",
    ),
    "refutation": (
        "6k1/4r3/8/3K4/2Q5/8/8/8 w c4d4 w",
        "8/4P3/8/6r1/8/7K/8/6k1 b g5g7 w",
    ),
    "holds_pawn": (
        "3K4/k7/8/p7/1Q6/8/8/8 w b4a4 w",
        "8/4K3/4P2q/8/6k1/8/8/8 b g4g5 b",
        "8/8/8/8/6q1/8/3k2P1/5K2 b g4h3 b",
    ),
    "stops_pawn": (
        "8/8/2b5/8/3k4/K7/n3P3/8 b d4e3 b",
        "8/4K3/2b3k1/2n5/3P4/8/8/8 b c6d5 b",
    ),
    "bishop_barred": (
        "7b/8/1P5k/8/8/3K4/8/8 w d3e4 w",
        "5K2/8/8/8/2B2k2/8/7p/8 b f4e5 b",
    ),
    "knights_w": (
        "1K6/8/1k1n4/1b6/8/8/8/8 b b5f1 b",
        "1K6/8/1k1n4/1b6/8/8/8/8 b b6c6 b",
    ),
    "cage": (
        "8/8/8/8/5Q2/5r1k/8/5K2 w f1g1 w",
        "8/8/8/6q1/8/8/6R1/5k1K b g5e5 b",
        "5BN1/5K1k/8/8/8/8/8/8 w f7e6 w",
        "8/8/8/3k4/8/6bb/7K/8 w h2h1 b",
        "8/1k6/1B6/1K6/8/1B6/8/8 w b6d4 w",
        "8/8/3k4/8/8/1q6/K7/8 w a2b3 b",
    ),
    "holes": ("5k1K/2R5/8/6p1/8/8/8/8 w c7d7 w",),
    "chasing_check": (
        "8/8/8/8/5Q2/5r1k/8/5K2 w f4f3 w",
        "6k1/4r3/8/3K4/2Q5/8/8/8 w d5d4 w",
    ),
    "waiting_move": ("1K6/8/1k1n4/1b6/8/8/8/8 b b5f1 b",),
    "saved": (
        "8/8/8/6q1/8/8/6R1/5k1K b g5b5 b",
        "1Kn5/8/2bk4/8/8/8/8/8 b c6d7 b",
        "8/8/8/3B4/2r5/2k5/K7/8 b c4b4 b",
        "8/8/5k2/8/4r3/8/5NK1/8 b e4e5 b",
    ),
    "safe_here": (
        "8/4K3/8/1k6/2R5/8/8/8 w c4c2 w",
        "8/2k5/r3Q3/1K6/8/8/8/8 w e6e1 w",
    ),
    "lets_go": ("8/8/4p3/8/1b6/8/K2k4/8 b b4a3 b",),
    "leaves_man": (
        "8/8/8/4P3/5k2/7q/8/6K1 b f4g3 b",
        "4K3/2q5/8/P3k3/8/8/8/8 b e5d6 b",
    ),
    "pawn_runs": ("8/8/8/7K/8/5p1b/8/6k1 b f3f2 b",),
    "pawn_step": (
        "8/8/8/7K/8/5p1b/8/6k1 b f3f2 b",
        "1k6/4K3/3P4/8/8/8/8/8 w d6d7 w",
    ),
    "in_time": ("3K4/5P2/b4k2/8/8/8/8/8 w f7f8q w",),
    "trapped": (
        "8/K7/8/k2bR3/8/8/8/8 w a7b8 b",
        "6N1/5k2/7K/8/8/8/6r1/8 b g2g5 w",
    ),
    "pins": (
        "8/8/4Q3/8/1k6/2r5/8/K7 w e6e1 w",
        "4k3/4n3/8/8/8/8/8/K6R w h1e1 w",
        "k7/1n6/8/8/8/8/8/K4B2 w f1g2 w",
    ),
    "minor_lost": ("B7/K7/8/1k6/2r5/8/8/8 w a8b7 b",),
    "wrong_corner": ("7k/8/8/6NB/5K2/8/8/8 w g5f7 w",),
    "critical": ("8/R1K5/8/8/1k6/8/8/8 b b4c4 w",),
    "stands_out": (
        "2r2K2/8/8/2B5/2k5/8/8/8 w f8e7 b",
        "8/8/8/3B4/4P2K/8/3k4/8 b d2d3 w",
        "8/8/8/5QK1/8/7k/8/8 b h3g3 w",
        "4B3/2k5/8/1KN5/8/8/8/8 b c7d6 w",
        "8/8/8/7P/6k1/8/7K/5r2 w h2g2 b",
    ),
    "denies": ("8/8/4r3/8/8/8/4K3/k7 w e2d3 b",),
    "lets_at_once": (
        "6K1/8/7r/8/7k/8/8/8 w g8f7 b",
        "8/8/K7/8/k7/2r5/8/8 w a6b6 b",
        "1k6/8/1K1R4/1p6/8/8/8/8 b b8c8 w",
    ),
    "worse": ("5k2/8/6K1/8/3Q4/8/8/8 b f8e7 w",),
    "looms": (
        "8/8/8/8/4k3/7p/8/5K2 w f1e1 b",
        "8/8/P1q5/K7/8/k7/8/8 w a6a7 b",
        "8/8/8/1K6/1B6/8/k7/3B4 b a2a1 w",
        "8/8/8/5r2/8/3k4/8/3K4 w d1c1 b",
        "8/8/8/8/n3K3/3R4/1k6/8 b b2a1 w",
    ),
    "concedes": (
        "8/3K4/k4P2/5q2/8/8/8/8 w d7d6 b",
        "6K1/8/7r/8/7k/8/8/8 w g8g7 b",
        "4KR2/q7/2k5/8/8/8/8/8 w f8h8 b",
    ),
    "counters": (
        "8/8/8/4r3/8/2k5/3N4/2K5 w d2f3 b",
        "6B1/7k/8/5K1N/8/8/8/8 b h7h8 w",
        "8/8/KRq5/8/8/2k5/8/8 w a6a7 b",
    ),
    "outlasts": (
        "8/6K1/8/6k1/3n4/4b3/8/8 w g7f7 b",
        "8/8/8/4p3/8/3K4/3R4/1k6 b b1c1 w",
    ),
    "meets": (
        "4B3/6P1/7k/8/7K/8/8/8 b h6h7 w",
        "8/8/8/8/4p3/5R2/5K2/7k b e4f3 w",
        "5K2/8/2k4r/8/5B2/8/8/8 w f8e7 b",
        "4K2B/8/7r/8/4k3/8/8/8 w h8b2 b",
        "4K2B/8/1rk5/8/8/8/8/8 w e8f7 b",
    ),
    "pitfall": (
        "8/K7/8/8/2k1b1R1/8/8/8 b c4d5 w",
        "8/3R4/8/4K3/3n4/8/8/k7 b d4c2 w",
        "7B/5K2/3k4/6r1/8/8/8/8 w f7f6 b",
        "5K2/8/2k4r/8/5B2/8/8/8 w f8e7 b",
    ),
    "sets_problem": ("8/8/8/8/6kp/6B1/5K2/8 b h4g3 b",),
    "through_hole": ("3B4/k7/3K4/8/2B5/8/8/8 b a7b7 w",),
    "attacks_man": ("4B3/2k5/8/1KN5/8/8/8/8 b c7d6 w",),
    "threatens": (
        "8/5P2/6qK/8/8/4k3/8/8 w h6g6 w",
        "8/8/8/3b2n1/8/7K/8/5k2 w h3h4 b",
        "8/8/8/5r2/8/K3Q3/8/1k6 w e3d2 w",
        "3KBB1k/8/8/8/8/8/8/8 b h8g8 w",
    ),
    "outruns": ("7K/5P2/7k/8/8/8/8/8 b h6h5 w",),
    "stands_by": (
        "8/8/8/8/6k1/5N2/7K/4r3 w f3d2 b",
        "7K/4Q3/8/7k/4p3/8/8/8 w h8g7 b",
        "8/7P/8/7k/8/7K/8/4r3 w h7h8n b",
    ),
    "king_nearer": ("8/6k1/4p3/8/4K3/7Q/8/8 w e4f4 w",),
    "drives": ("8/8/8/2KB4/k7/4P3/8/8 w c5c4 w",),
    "towards_w": ("2Kbn3/8/8/k7/8/8/8/8 b a5b6 b",),
    "nears_man": (
        "8/8/P7/8/k7/8/K7/2r5 b a4a5 b",
        "8/8/8/6k1/8/8/4K2P/5r2 b g5g4 b",
        "8/8/8/3r4/4B3/8/7K/4k3 b e1d2 b",
        "8/8/8/1k6/8/8/1r6/4K1N1 b b5c4 b",
    ),
    "king_up": (
        "4K3/2q5/8/P3k3/8/8/8/8 b e5e6 b",
        "4K3/k7/5r2/8/8/8/8/8 b a7b7 b",
    ),
    "guards": (
        "8/8/8/3B4/2r5/2k5/K7/8 b c4b4 b",
        "8/8/8/8/K7/8/k2P4/8 w d2d3 w",
    ),
    "box": (
        "7k/6R1/5K2/8/8/8/8/8 w g7e7 w",
        "8/8/8/8/k7/1P6/7q/3K4 b a4b3 b",
        "8/8/8/8/6r1/8/4k3/7K b g4g2 b",
    ),
    "cut_off": ("8/3R4/8/8/8/k7/4K3/8 w d7a7 w",),
    "narrows": (
        "8/1b6/8/Kn6/8/8/8/2k5 b b7e4 b",
        "8/8/8/8/6b1/8/4k3/6bK b e2f1 b",
    ),
    "off_the_rim": ("5k1B/8/6KN/8/8/8/8/8 w h6f5 w",),
    "makes_for": (
        "8/8/8/8/n2b4/8/5k2/1K6 w b1a2 b",
        "7K/8/5P1q/5k2/8/8/8/8 w h8g8 b",
    ),
    "to_centre": (
        "8/6K1/8/6k1/3n4/4b3/8/8 w g7f7 b",
        "8/6Q1/8/7r/5K1k/8/8/8 w f4e4 b",
    ),
    "prepares": (
        "8/8/8/8/5Q2/4K3/6r1/3k4 w f4f1 w",
        "1k6/3P4/1K6/8/8/8/8/8 w b6c6 w",
        "8/k1B5/4K3/8/8/1B6/8/8 w e6e5 w",
        "4K3/2q5/8/P3k3/8/8/8/8 b e5e6 b",
        "8/1k6/1B6/1K6/8/1B6/8/8 w b3c2 w",
        "4K3/k7/8/8/3R4/8/8/8 w d4d3 w",
        "8/7K/8/3q4/8/3k4/8/8 b d5d4 b",
    ),
    "leads_to": (
        "3K4/4P3/8/8/7k/8/8/8 w d8e8 w",
        "8/8/8/8/5Q2/4K3/6r1/3k4 w f4f1 w",
        "K7/1Br5/k7/8/8/8/8/8 b a6b6 b",
    ),
    "answers": ("4K3/2q5/8/P3k3/8/8/8/8 b e5d6 b",),
    "must_first": (
        "7K/3k4/8/3r4/7P/8/8/8 w h8g8 b",
        "2r2K2/8/8/2B5/2k5/8/8/8 w f8e7 b",
        "8/4k1P1/8/2K5/3B4/8/8/8 b e7e8 w",
        "8/R1K5/8/8/1k6/8/8/8 b b4c5 w",
        "4k3/8/6P1/7K/8/8/8/8 b e8f8 w",
        "4B3/2k5/8/1KN5/8/8/8/8 b c7c8 w",
        "8/3K4/8/1k6/3q1P2/8/8/8 w d7e7 b",
        "8/4k3/3N4/3r4/8/K7/8/8 w d6f7 b",
    ),
    "expects": (
        "7K/8/5P1q/5k2/8/8/8/8 w h8g8 b",
        "7K/3k4/8/3r4/7P/8/8/8 w h4h5 b",
        "3K4/5P1k/8/8/8/8/8/8 b h7g6 w",
    ),
}
