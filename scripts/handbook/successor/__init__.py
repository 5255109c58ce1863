"""The book under the program that the makers of its theme name as the successor: what holds there.

Nothing of this is needed to build the book today. It keeps the way open for when the theme ends.
"""
