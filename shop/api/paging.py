"""How lists are paged in the API."""

from rest_framework.pagination import PageNumberPagination


class Pages(PageNumberPagination):
    page_size_query_param = "page_size"
    max_page_size = 200
