"""Two invented clubs and their last two seasons, replayed through the programme's own use cases."""

from collection.usecases.sample.replay import CLUBS, SampleClub, load

__all__ = ["CLUBS", "SampleClub", "load"]
