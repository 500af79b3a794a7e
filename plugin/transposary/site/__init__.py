"""The site: pages, links, mentions and exports, without any site generator."""
