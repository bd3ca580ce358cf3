"""Each publication is numbered and keeps what it published; the next one is compared with it."""
