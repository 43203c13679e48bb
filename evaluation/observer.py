"""What an observer goes by: a name, or a role such as "observer 1", which another archive has as well."""


def own_name(observer: str) -> str:
    """What to propose to whoever looks next: a role that came from another archive is another person's here.

    >>> own_name("observer 1 (elsewhere 2)"), own_name("Ann (elsewhere)")
    ('observer 1', 'Ann (elsewhere)')
    """
    role, elsewhere, _ = observer.partition(" (elsewhere")
    return role if elsewhere and role.startswith("observer ") else observer
