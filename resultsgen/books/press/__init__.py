"""The press: where HTML becomes PDF, whole or as units that can be joined.

All that knows the renderer is here, and nothing of the sport, so that the processes that render
are at work soon and stay small.
"""
