def combustibles(*a):
    return ()
