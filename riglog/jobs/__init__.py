"""The verbs, one a file: the words of a question in, a typed answer out.

A job asks the library for nouns, the estimator for figures, and thinks about what a person on set
does with them. It knows nothing of text: ``wording`` turns its answers into sentences or JSON.
"""
