"""Planning on abstract decision problems: positions in, plans out; knows no pumps."""
