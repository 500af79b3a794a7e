"""The pages of the site: what each kind of page shows, as frozen values for its template."""
