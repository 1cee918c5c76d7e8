# soapfilm in a container: the command, as a user without rights.
#   docker build -t soapfilm .
#   docker run --rm -v "$PWD:/work" soapfilm section girder.toml
# With Jupyter:
#   docker build -t soapfilm-jupyter --build-arg JUPYTER=yes .
#   docker run --rm -p 127.0.0.1:8888:8888 -v "$PWD:/work" --entrypoint jupyter soapfilm-jupyter lab --ip 0.0.0.0
FROM python:3.12-slim-bookworm

# What the mesh generator's wheel needs of the system.
RUN apt-get update \
    && apt-get install -y --no-install-recommends \
        libglu1-mesa libgl1 libxrender1 libxcursor1 libxfixes3 libxft2 libxinerama1 \
        libfontconfig1 libgomp1 \
    && rm -rf /var/lib/apt/lists/*

COPY . /source
ARG JUPYTER=no
RUN pip install --no-cache-dir /source \
    && if [ "$JUPYTER" = yes ]; then pip install --no-cache-dir jupyterlab; fi \
    && rm -rf /source \
    && useradd --create-home engineer

USER engineer
WORKDIR /work
ENTRYPOINT ["soapfilm"]
CMD ["--help"]
