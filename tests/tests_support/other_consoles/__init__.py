"""Consoles that propsoff was not written for, each with the truth of its facts. They share no code with the reader."""
